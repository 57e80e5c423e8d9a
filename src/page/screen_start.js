// SPDX-License-Identifier: GPL-3.0-or-later
// The first screen: what can kill, what is on the bench, and whether it has a transformer.
'use strict';

const screenStart = (() => {
  const AFTER = { first: 'set', wrong: 'set', part: 'set', class: 'set' };
  const THEN = { first: 'day', wrong: 'wrong', part: 'change', class: 'class' };

  async function openJob(event) {
    const file = event.target.files[0];
    if (!file) return;
    let given = null;
    try {
      given = store.checked(JSON.parse(await file.text()));
    } catch (error) {
      // told below
    }
    if (!given) {
      store.draft('job-error', words.noJob(file.name));
      main.again();
      return;
    }
    store.open(given, words.did.opened);
    main.go(given.text ? THEN[given.bench] || 'answer' : 'set');
  }

  // The way on from the set to what it is on the bench for.
  function onward(job) {
    return dom.el(
      'a',
      { class: 'act', href: `#${THEN[job.bench] || 'answer'}` },
      words.then[job.bench] || words.toAnswer,
    );
  }

  function draw(job) {
    const complaint = job.drafts['job-error'];
    store.drop('job-error');
    const input = dom.el('input', {
      type: 'file',
      accept: '.json,application/json',
      change: openJob,
    });
    return [
      dom.el(
        'div',
        { class: 'stop' },
        main.title(`${words.danger} ${words.dangerDo}`),
        words.dangerMore.map((text) => dom.el('p', {}, text)),
      ),
      dom.choices('bench', words.bench, words.benches, job.bench, (value) =>
        store.change(words.did.bench, { bench: value }),
      ),
      job.bench === 'saved'
        ? dom.field('job-file', words.jobFile, input, words.jobFileHint, complaint)
        : null,
      dom.choices('transformer', words.transformer, words.transformers, job.transformer, (value) =>
        store.change(words.did.transformer, { transformer: value }),
      ),
      scenario.live(job)
        ? dom.el(
            'div',
            { class: 'stop' },
            words.liveMore.map((text) => dom.el('p', {}, text)),
          )
        : null,
      job.bench && job.bench !== 'saved'
        ? dom.el(
            'p',
            {},
            dom.el(
              'a',
              { class: 'act', href: job.text ? `#${THEN[job.bench]}` : `#${AFTER[job.bench]}` },
              job.text ? words.then[job.bench] : words.toSet,
            ),
          )
        : null,
    ];
  }

  return { draw, needs: false, then: THEN, onward };
})();

// SPDX-License-Identifier: GPL-3.0-or-later
// Which set is on the bench: a shipped one, a file of one's own, or the questions of a form.
'use strict';

const screenSet = (() => {
  let shipped = null;
  let forms = null;

  function load() {
    if (shipped === null) {
      shipped = [];
      Promise.resolve(engine.shipped).then((files) => {
        shipped = Object.entries(files).map(([name, text]) => ({
          name,
          text,
          title: scenario.parse(text).title,
        }));
        if (location.hash.startsWith('#set')) main.again();
      });
    }
    if (forms === null) {
      forms = [];
      work.ask('forms', requests.forms()).then((out) => {
        forms = out.stdout
          .split('\n')
          .map((l) => /^ {2}(\S+) {2,}(.*)$/.exec(l))
          .filter(Boolean)
          .map((m) => ({ kind: m[1], text: m[2] }));
        if (location.hash.startsWith('#set')) main.again();
      });
    }
  }

  function take(name, text, next) {
    work.forget();
    store.change(words.did.set(name), {
      name,
      text,
      variant: '',
      changes: [],
      shown: [],
      readings: {},
      skipped: {},
      noticed: {},
      lamp: '',
    });
    main.go(next || screenStart.then[store.get().bench] || 'answer');
  }

  async function takeForm(kind) {
    const out = await work.ask(`form ${kind}`, requests.form(kind));
    take(`my-${kind}.yaml`, out.files[requests.path(requests.FORM)], 'questions');
  }

  async function takeFile(event) {
    const file = event.target.files[0];
    if (file) take(file.name, await file.text(), 'questions');
  }

  // Of a set that is there: how it is taken, and what the engine says of its text.
  function present(job) {
    const set = scenario.parse(job.text);
    return [
      dom.el('h2', {}, words.onBench),
      dom.el('p', {}, dom.el('strong', {}, set.title || job.name)),
      set.variants.length
        ? dom.field(
            'variant',
            words.variant,
            dom.select(
              'variant',
              [['', words.asWritten], ...set.variants.map((v) => [v, v])],
              job.variant,
              (variant) => store.change(words.did.variant, { variant, changes: [] }),
            ),
            words.variantHint,
          )
        : null,
      main.live(() => answers.checked(store.get())),
      dom.el(
        'p',
        { class: 'acts' },
        screenStart.onward(job),
        dom.el('a', { class: 'act', href: '#questions' }, words.toQuestions),
      ),
      dom.el('p', {}, words.another),
    ];
  }

  function draw(job) {
    load();
    const file = dom.el('input', { type: 'file', accept: '.yaml,.yml,.txt', change: takeFile });
    return [
      main.title(words.titles.set),
      job.text ? present(job) : null,
      dom.el('h2', {}, words.waysShipped),
      dom.el(
        'ul',
        { class: 'list' },
        shipped.map(({ name, text, title }) =>
          dom.el(
            'li',
            {},
            dom.button(`take-${name}`, title || name, () => take(name, text)),
          ),
        ),
      ),
      dom.el('h2', {}, words.waysFile),
      dom.field('own-file', words.ownFile, file, words.ownFileHint),
      dom.el('h2', {}, words.waysForm),
      dom.el('p', {}, words.waysFormHint),
      dom.el(
        'ul',
        { class: 'list' },
        forms.map(({ kind, text }) =>
          dom.el(
            'li',
            {},
            dom.button(`form-${kind}`, text, () => takeForm(kind)),
          ),
        ),
      ),
    ];
  }

  return { draw, needs: false };
})();

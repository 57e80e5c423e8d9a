// SPDX-License-Identifier: GPL-3.0-or-later
// Pictures: one question each, as found and as imagined beside each other.
'use strict';

const screenSee = (() => {
  const drawn = new Map();

  // The picture of a run, made once for each run.
  function picture(job, imagined, question) {
    const run = answers.turnOn(job, imagined);
    if (!run.out || run.state === 'failed') return null;
    const key = `${imagined} ${question}`;
    if (!drawn.has(key) || drawn.get(key).out !== run.out) {
      const subject = requests.subject(job, imagined);
      drawn.set(key, {
        out: run.out,
        picture: pictures.make(question, run.out, subject.label, scenario.parse(subject.text)),
      });
    }
    return drawn.get(key).picture;
  }

  // Both pictures have one upright axis, so that they can be compared by eye.
  function figure(job, imagined, question) {
    const key = `${imagined} ${question}`;
    const own = picture(job, imagined, question);
    if (!own) return dom.el('p', {}, words.noPicture);
    const other = job.changes.length ? picture(job, !imagined, question) : null;
    const ranges = [own, other].filter(Boolean).map((p) => chart.range(p.series, p.limits));
    const range = [Math.min(...ranges.map((r) => r[0])), Math.max(...ranges.map((r) => r[1]))];
    const kept = drawn.get(key);
    if (!kept.node || String(kept.range) !== String(range)) {
      kept.range = range;
      kept.node = chart.figure({ ...own, range });
    }
    return kept.node;
  }

  function side(job, imagined, question) {
    const head = dom.el('h2', {}, imagined ? words.asImagined : words.asFound);
    if (question === 'wiring') return [head, answers.drawing(job, imagined)];
    if (!answers.ready(job)) return [head, answers.checked(job)];
    const run = answers.turnOn(job, imagined);
    if (run.state === 'failed') return [head, answers.failed(run.out)];
    if (!run.out) return [head, dom.el('p', { class: 'unknown' }, words.notYetKnown)];
    return [
      head,
      run.state === 'partial' ? dom.el('p', { class: 'mark' }, words.partial) : null,
      answers.old(run.state, figure(job, imagined, question)),
    ];
  }

  function draw(job, [asked]) {
    const all = ['wiring', ...pictures.names];
    const question = all.includes(asked) ? asked : 'turn-on';
    return [
      main.title(words.questions[question]),
      dom.el(
        'nav',
        { 'aria-label': words.pictures },
        dom.el(
          'ul',
          { class: 'list' },
          all.map((name) =>
            dom.el(
              'li',
              {},
              dom.el(
                'a',
                {
                  href: `#see/${name}`,
                  id: `see-${name}`,
                  'aria-current': name === question ? 'true' : null,
                },
                words.questions[name],
              ),
            ),
          ),
        ),
      ),
      dom.el(
        'div',
        { class: job.changes.length ? 'beside' : '' },
        dom.el(
          'section',
          { 'aria-label': words.asFound },
          main.live(() => side(store.get(), false, question)),
        ),
        job.changes.length
          ? dom.el(
              'section',
              { 'aria-label': words.asImagined },
              main.live(() => side(store.get(), true, question)),
            )
          : null,
      ),
      job.changes.length
        ? dom.el(
            'p',
            {},
            words.imaginedIs(
              job.changes
                .map(
                  (c) =>
                    `${c.part === 'mains' ? words.theLine : c.part} ${words.keyName(c.key)} ${c.to}`,
                )
                .join(', '),
            ),
          )
        : dom.el(
            'p',
            {},
            words.noImagined,
            ' ',
            dom.el('a', { href: '#change' }, words.screens.change),
          ),
    ];
  }

  return { draw };
})();

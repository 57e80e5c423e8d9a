// SPDX-License-Identifier: GPL-3.0-or-later
// A class to teach: pictures to show, and sheets with hidden faults.
'use strict';

const screenClass = (() => {
  function put(fields, what) {
    store.change(what, { lesson: { ...store.get().lesson, ...fields } });
  }

  function request(job) {
    return requests.lesson(job, job.lesson);
  }

  function made(job) {
    const run = work.look('exercise', request(job));
    const ask = dom.button('make-sheets', words.makeSheets, () =>
      work.press('exercise', request(job)),
    );
    if (run.state === 'none' || run.state === 'old') return ask;
    if (!run.out) return dom.el('p', { class: 'unknown' }, words.workingSheet);
    if (run.state === 'failed') return [answers.failed(run.out), ask];
    const files = Object.keys(run.out.files).filter((f) => f.endsWith('.html'));
    return [
      run.state === 'partial' ? dom.el('p', { class: 'mark' }, words.partial) : null,
      dom.el(
        'ul',
        { class: 'list' },
        files.map((f) => {
          const name = f.replace(/^.*\//, '');
          return dom.el(
            'li',
            {},
            dom.button(`class-${name}`, words.lessonFile(name), () =>
              dom.save(name, run.out.files[f], 'text/html'),
            ),
          );
        }),
      ),
      dom.button('another-draw', words.anotherDraw, () =>
        put({ seed: String(Number(store.get().lesson.seed) + 1) }, words.anotherDraw),
      ),
      dom.el(
        'details',
        { id: 'trainer' },
        dom.el('summary', {}, words.trainerOnly),
        report.show(run.out.stdout, 'h3'),
      ),
    ];
  }

  function exercises(job) {
    if (!screenKeep.knows('exercise')) return null;
    const { level, pupils } = job.lesson;
    return [
      dom.el('h2', {}, words.lessonHead),
      dom.el('p', {}, words.lessonHint),
      dom.choices('level', words.lessonLevel, words.lessonLevels, level, (value) =>
        put({ level: value }, words.lessonLevel),
      ),
      dom.field(
        'pupils',
        words.lessonPupils,
        dom.select('pupils', ['1', '4', '8', '12', '16', '20', '24', '30'], pupils, (value) =>
          put({ pupils: value }, words.lessonPupils),
        ),
      ),
      answers.ready(job) ? made(job) : answers.checked(job),
    ];
  }

  function draw() {
    return [
      main.title(words.titles.class),
      dom.el('h2', {}, words.showHead),
      dom.el('p', {}, words.showHint),
      dom.el(
        'p',
        { class: 'acts' },
        dom.el('a', { class: 'act', href: '#see' }, words.then.pictures),
        dom.el('a', { class: 'act', href: '#change' }, words.then.part),
      ),
      main.live(() => exercises(store.get())),
    ];
  }

  return { draw };
})();

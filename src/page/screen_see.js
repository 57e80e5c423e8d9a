// SPDX-License-Identifier: GPL-3.0-or-later
// Pictures: one question each, as found and as imagined beside each other.
'use strict';

const screenSee = (() => {
  function side(job, imagined, question) {
    const head = dom.el('h2', {}, imagined ? words.asImagined : words.asFound);
    if (question === 'wiring') return [head, answers.drawing(job, imagined)];
    const run = answers.turnOn(job, imagined);
    if (!answers.ready(job)) return [head, answers.checked(job)];
    if (run.state === 'failed') return [head, answers.failed(run.out)];
    if (!run.out) return [head, dom.el('p', { class: 'unknown' }, words.notYetKnown)];
    const label = requests.subject(job, imagined).label;
    const key = `${imagined} ${question}`;
    if (kept.get(key) === undefined || kept.get(key).out !== run.out) {
      const picture = pictures.make(question, run.out, label, scenario.parse(requests.subject(job, imagined).text));
      kept.set(key, { out: run.out, node: picture ? chart.figure(picture) : dom.el('p', {}, words.noPicture) });
    }
    return [head, run.state === 'partial' ? dom.el('p', { class: 'mark' }, words.partial) : null,
      answers.old(run.state, kept.get(key).node)];
  }

  const kept = new Map();

  function draw(job, [asked]) {
    const all = ['wiring', ...pictures.names];
    const question = all.includes(asked) ? asked : 'turn-on';
    return [
      main.title(words.questions[question]),
      dom.el('nav', { 'aria-label': words.pictures }, dom.el('ul', { class: 'list' }, all.map((name) => dom.el('li', {},
        dom.el('a', { href: `#see/${name}`, id: `see-${name}`, 'aria-current': name === question ? 'true' : null }, words.questions[name]))))),
      dom.el('div', { class: job.changes.length ? 'beside' : '' },
        dom.el('section', { 'aria-label': words.asFound }, main.live(() => side(store.get(), false, question))),
        job.changes.length ? dom.el('section', { 'aria-label': words.asImagined }, main.live(() => side(store.get(), true, question))) : null),
      job.changes.length ? dom.el('p', {}, words.imaginedIs(job.changes.map((c) => `${c.part === 'mains' ? words.theLine : c.part} ${words.keyName(c.key)} ${c.to}`).join(', ')))
        : dom.el('p', {}, words.noImagined, ' ', dom.el('a', { href: '#change' }, words.screens.change)),
    ];
  }

  return { draw };
})();

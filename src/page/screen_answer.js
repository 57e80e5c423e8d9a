// SPDX-License-Identifier: GPL-3.0-or-later
// The answer: what to look at first, what the meter should read, what is nearest to its limit.
'use strict';

const screenAnswer = (() => {
  function expectRow(job, label, id, value, unit, chart) {
    const typed = job.readings[id];
    return [
      label,
      quantity.show(value, unit),
      chart || '',
      typed || '',
      typed
        ? (
            readings.compare(
              { unit, expect: { value, least: null, most: null }, faults: [] },
              typed,
            ) || {}
          ).text || ''
        : '',
    ];
  }

  // Expect, the chart's, you read, why.
  function meter(job) {
    const set = scenario.parse(job.text);
    const rows = readings.turned(job);
    if (!rows.length) return dom.el('p', {}, words.computing);
    const chart = set.data.chart || {};
    const cells = [];
    for (const p of figures.points(rows, set)) {
      const charted = typeof chart[p.name] === 'string' ? chart[p.name] : '';
      if (p.alternating)
        cells.push(expectRow(job, words.acAt(p.name), `3|${p.name}|AC`, p.rms, 'V', charted));
      else {
        cells.push(expectRow(job, words.dcAt(p.name), `3|${p.name}|DC`, p.dc, 'V', charted));
        if (p.ac > 0.01)
          cells.push(expectRow(job, words.acOn(p.name), `3|${p.name}|AC`, p.ac, 'V', ''));
      }
    }
    cells.push(
      expectRow(
        job,
        words.lineCurrent,
        '3|mains|current',
        figures.one(rows, 'mains', 'line-current'),
        'A',
        '',
      ),
    );
    cells.push(
      expectRow(
        job,
        words.linePower,
        '3|mains|power',
        figures.one(rows, 'mains', 'line-power'),
        'W',
        '',
      ),
    );
    return dom.table(words.meterTable, words.meterHeads, cells);
  }

  function draw(job) {
    return [
      main.title(words.titles.answer),
      main.live(() => [
        answers.ready(store.get()) ? null : answers.checked(store.get()),
        answers.verdict(store.get(), false),
      ]),
      dom.el('h2', {}, words.settledHead),
      dom.el('p', {}, words.settledNote),
      main.live(() => answers.volts(store.get(), false)),
      main.live(() => meter(store.get())),
      dom.el('h2', {}, words.wired),
      main.live(() => answers.drawing(store.get(), false)),
      dom.el('h2', {}, words.marginsHead),
      main.live(() => answers.margins(store.get(), false, 12)),
      main.live(() => {
        const run = answers.meaning(store.get(), false);
        if (!run.out || run.state === 'failed') return null;
        return [
          report.one(run.out.stdout, 'cautions', 'h2'),
          dom.el(
            'details',
            { id: 'whole' },
            dom.el('summary', {}, words.whole),
            report.show(run.out.stdout, 'h3'),
          ),
        ];
      }),
      dom.el(
        'p',
        { class: 'acts' },
        dom.el('a', { class: 'act', href: '#day' }, words.then.first),
        dom.el('a', { class: 'act', href: '#change' }, words.then.part),
        dom.el('a', { class: 'act', href: '#wrong' }, words.then.wrong),
      ),
    ];
  }

  return { draw };
})();

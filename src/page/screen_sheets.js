// SPDX-License-Identifier: GPL-3.0-or-later
// Sheets to print and take to the bench: bench sheet, shopping list, discharge, fuse, hot chassis.
'use strict';

const screenSheets = (() => {
  const SHEETS = ['bench-sheet', 'buy-list', 'discharge', 'fuse', 'hot-chassis', 'tolerances'];

  // The discharge of each capacitor as a table of its own: it is the figure that a hand depends on.
  function discharge(out) {
    const rows = csv
      .records(out.files[requests.path('discharge.csv')])
      .filter((r) => r.capacitance_F !== '' && r.energy_J);
    if (!rows.length) return null;
    const time = (text) => quantity.show(Number(text.replace('inf', 'Infinity')), 's');
    return dom.table(
      words.dischargeTable,
      words.dischargeHeads,
      rows.map((r) => [
        r.part,
        quantity.show(Number(r.highest_V), 'V'),
        quantity.show(Number(r.energy_J), 'J'),
        time(r.to_30V_cold_s),
        time(r.to_30V_hot_s),
      ]),
    );
  }

  function value(text, unit) {
    return figures.show({ value: Number(text), unit, limit: null });
  }

  function shopping(out) {
    const rows = csv.records(out.files[requests.path('buy-list.csv')]);
    const parts = [...new Set(rows.map((r) => r.part))];
    return parts.length
      ? dom.table(
          words.buyTable,
          words.buyHeads,
          rows
            .filter((r) => r.buy !== '')
            .map((r) => [
              r.part,
              r.quantity.replace(/-/g, ' '),
              { cell: value(r.buy, r.unit), class: 'figure' },
              r.needed === '' ? '' : value(r.needed, r.unit),
              r.rule,
            ]),
        )
      : null;
  }

  function show(job, name, imagined) {
    const request = requests.asked(name, job, imagined);
    const key = `${name} ${imagined ? 'imagined' : 'found'}`;
    work.want(key, request);
    const run = work.look(key, request);
    if (!run.out) return dom.el('p', { class: 'unknown' }, words.workingSheet);
    if (run.state === 'failed') return answers.failed(run.out);
    return answers.old(run.state, [
      run.state === 'partial' ? dom.el('p', { class: 'mark' }, words.partial) : null,
      name === 'discharge' ? discharge(run.out) : name === 'buy-list' ? shopping(run.out) : null,
      report.show(run.out.stdout, 'h2'),
      dom.el(
        'p',
        { class: 'acts' },
        dom.button('print-sheet', words.print, () => window.print()),
        dom.button('copy-sheet', words.copy, () => screenKeep.copy(run.out.stdout)),
        Object.keys(run.out.files)
          .filter((f) => f.endsWith('.csv'))
          .map((f) =>
            dom.button(`save-${f}`, words.saveFile(f.replace(/^.*\//, '')), () =>
              dom.save(f.replace(/^.*\//, ''), run.out.files[f], 'text/csv'),
            ),
          ),
      ),
    ]);
  }

  function draw(job, [name, which]) {
    if (!SHEETS.includes(name)) {
      return [
        main.title(words.titles.sheets),
        dom.el(
          'ul',
          { class: 'list' },
          SHEETS.map((s) =>
            dom.el(
              'li',
              {},
              dom.el('a', { href: `#sheets/${s}`, id: `sheet-${s}` }, words.sheets[s][0]),
              dom.el('p', { class: 'hint' }, words.sheets[s][1]),
            ),
          ),
        ),
      ];
    }
    const imagined = which === 'imagined' && job.changes.length > 0;
    return [
      main.title(words.sheets[name][0]),
      job.changes.length
        ? dom.choices(
            'which',
            words.ofWhich,
            [
              ['found', words.asFound],
              ['imagined', words.asImagined],
            ],
            imagined ? 'imagined' : 'found',
            (value) => main.go('sheets', name, value),
          )
        : null,
      name === 'hot-chassis' && scenario.live(job)
        ? dom.el('p', { class: 'stop' }, words.dayLive)
        : null,
      main.live(() =>
        answers.ready(store.get())
          ? show(store.get(), name, imagined)
          : answers.checked(store.get()),
      ),
      dom.el('p', {}, dom.el('a', { href: '#sheets' }, words.allSheets)),
    ];
  }

  return { draw };
})();

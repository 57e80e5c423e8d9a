// SPDX-License-Identifier: GPL-3.0-or-later
// Sheets to print and take to the bench: bench sheet, shopping list, discharge, fuse, hot chassis.
'use strict';

const screenSheets = (() => {
  const SHEETS = ['bench-sheet', 'buy-list', 'discharge', 'fuse', 'hot-chassis', 'tolerances'];

  function show(job, name, imagined) {
    const request = requests.sheet(name, job, imagined);
    const key = `${name} ${imagined ? 'imagined' : 'found'}`;
    work.want(key, request);
    const run = work.look(key, request);
    if (!run.out) return dom.el('p', { class: 'unknown' }, words.workingSheet);
    if (run.state === 'failed') return answers.failed(run.out);
    return answers.old(run.state, [
      run.state === 'partial' ? dom.el('p', { class: 'mark' }, words.partial) : null,
      report.show(run.out.stdout, 'h2'),
      dom.el(
        'p',
        { class: 'acts' },
        dom.button('print-sheet', words.print, () => window.print()),
        dom.button('copy-sheet', words.copy, () => screenKeep.copy(report.plain(run.out.stdout))),
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

// SPDX-License-Identifier: GPL-3.0-or-later
// The engine's CSV files.
'use strict';

const csv = (() => {
  // All rows of a text after RFC 4180, as lists of texts.
  function rows(text) {
    const all = [];
    let row = [];
    let cell = '';
    let quoted = false;
    const end = () => {
      row.push(cell);
      cell = '';
    };
    for (let i = 0; i < text.length; i += 1) {
      const c = text[i];
      if (quoted) {
        if (c !== '"') cell += c;
        else if (text[i + 1] === '"') {
          cell += c;
          i += 1;
        } else quoted = false;
      } else if (c === '"') quoted = true;
      else if (c === ',') end();
      else if (c === '\n') {
        end();
        all.push(row);
        row = [];
      } else if (c !== '\r') cell += c;
    }
    if (cell || row.length) {
      end();
      all.push(row);
    }
    return all;
  }

  // An apostrophe stands before names that a spreadsheet would compute.
  function plain(text) {
    return /^'[-+=@\t]/.test(text) ? text.slice(1) : text;
  }

  // Rows as objects by the names of the first row.
  function records(text) {
    const [head, ...below] = rows(text || '');
    if (!head) return [];
    return below.map((row) =>
      Object.fromEntries(head.map((name, i) => [name, plain(row[i] || '')])),
    );
  }

  // A file of numbers only: { names, units, columns } with one Float64Array a column.
  function columns(text) {
    const lines = (text || '').split('\n').filter(Boolean);
    const heads = (rows(lines[0] || '')[0] || []).map(plain);
    const columns = heads.map(() => new Float64Array(Math.max(0, lines.length - 1)));
    for (let i = 1; i < lines.length; i += 1) {
      const cells = lines[i].split(',');
      for (let k = 0; k < heads.length; k += 1) columns[k][i - 1] = Number(cells[k]);
    }
    const split = heads.map((h) => /^(.*) \[(.*)\]$/.exec(h) || [h, h, '']);
    return { names: split.map((s) => s[1]), units: split.map((s) => s[2]), columns };
  }

  return { records, columns };
})();

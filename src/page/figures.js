// SPDX-License-Identifier: GPL-3.0-or-later
// Rows of figures.csv: what belongs to a run, what is over its rating, what a meter reads.
'use strict';

const figures = (() => {
  // Rows of one run of a result's figures.csv with numbers for values; null where there is none.
  function of(out, variant) {
    const text = out && out.files[requests.path('figures.csv')];
    if (!text) return null;
    const all = csv
      .records(text)
      .map((r) => ({
        ...r,
        value: Number(r.value.replace('inf', 'Infinity')),
        limit: r.limit === '' ? null : Number(r.limit),
        time: r.time_s === '' ? null : Number(r.time_s),
      }));
    return variant === undefined ? all : all.filter((r) => r.variant === variant);
  }

  function one(rows, subject, measure) {
    const found = (rows || []).find((r) => r.subject === subject && r.measure === measure);
    return found ? found.value : null;
  }

  function celsius(row) {
    return row.unit === 'K'
      ? {
          ...row,
          unit: 'degC',
          value: row.value - 273.15,
          limit: row.limit === null ? null : row.limit - 273.15,
        }
      : row;
  }

  // An at-least limit (ohms per plate, heater volts): passed from below.
  function atLeast(row) {
    return row.verdict === 'over' ? row.value < row.limit : row.value > row.limit;
  }

  // The share of a rating that is used; null where that says nothing.
  function used(row) {
    if (row.limit === null || row.limit <= 0) return null;
    if (row.unit === 'K') return (row.value - 298.15) / (row.limit - 298.15);
    if (!Number.isFinite(row.value)) return Infinity;
    return atLeast(row) ? row.limit / row.value : row.value / row.limit;
  }

  const RANK = { over: 0, near: 1, within: 2 };

  // The figures that have a rating, over first, then near, then by the share that is used; of a
  // part's figure in several runs the worst one. At-least limits that are kept are left out.
  function margins(rows) {
    const seen = new Set();
    return (rows || [])
      .filter((r) => r.verdict in RANK && (r.verdict !== 'within' || !atLeast(r)))
      .sort((a, b) => RANK[a.verdict] - RANK[b.verdict] || used(b) - used(a))
      .filter((r) => {
        const key = `${r.subject} ${r.measure}`;
        const fresh = !seen.has(key);
        seen.add(key);
        return fresh;
      });
  }

  function show(row) {
    const r = celsius(row);
    return quantity.show(r.value, r.unit);
  }

  function limit(row) {
    const r = celsius(row);
    return r.limit === null ? '' : quantity.show(r.limit, r.unit);
  }

  // Points (not parts) of a run, those that rest at a direct voltage first.
  function points(rows, set) {
    const parts = new Set(set.parts.map((p) => p.name));
    const names = [
      ...new Set((rows || []).filter((r) => r.measure === 'settled-voltage').map((r) => r.subject)),
    ].filter((n) => !parts.has(n) && !parts.has(n.split('.')[0]) && n !== 'mains' && n !== 'set');
    return names.map((name) => {
      const dc = one(rows, name, 'settled-voltage');
      const ac = one(rows, name, 'ripple-rms');
      return { name, dc, ac, rms: one(rows, name, 'rms-voltage'), alternating: ac > 0.7 * Math.abs(dc) };
    });
  }

  return { of, one, used, margins, show, limit, points };
})();

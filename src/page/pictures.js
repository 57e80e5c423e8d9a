// SPDX-License-Identifier: GPL-3.0-or-later
// One question a picture: what of the engine's CSV files answers it.
'use strict';

const pictures = (() => {
  function file(out, name) {
    return out && out.files[requests.path(name)]
      ? csv.columns(out.files[requests.path(name)])
      : null;
  }

  function column(trace, name, unit) {
    const at = trace.names.findIndex((n, i) => n === name && trace.units[i] === unit);
    return at < 0 ? null : trace.columns[at];
  }

  function end(x) {
    return x[x.length - 1];
  }

  function highest(y) {
    let most = -Infinity;
    for (const v of y) if (v > most) most = v;
    return most;
  }

  // Limits that are alike become one line with all names.
  function limits(rows, keep) {
    const found = new Map();
    for (const r of rows.filter(keep)) {
      const key = r.limit;
      const name = r.subject;
      if (!found.has(key)) found.set(key, { y: r.limit, names: [], source: r });
      if (!found.get(key).names.includes(name)) found.get(key).names.push(name);
    }
    return [...found.values()];
  }

  function part(series, from) {
    return series.map((s) => {
      let i = 0;
      while (i < s.x.length && s.x[i] < from) i += 1;
      return { ...s, x: s.x.subarray(i), y: s.y.subarray(i) };
    });
  }

  function turnOn(out, rows, set) {
    const trace = file(out, 'trace.csv');
    if (!trace) return null;
    const t = trace.columns[0];
    const capacitors = set.parts.filter((p) => p.is === 'capacitor' && column(trace, p.name, 'V'));
    const series = capacitors
      .map((p) => ({ name: p.name, x: t, y: column(trace, p.name, 'V') }))
      .filter((s) => highest(s.y) > 3);
    const lines = limits(
      rows,
      (r) =>
        series.some((s) => s.name === r.subject) &&
        r.limit > 0 &&
        ['settled-voltage', 'highest-voltage'].includes(r.measure),
    ).map((l) => ({
      y: l.y,
      name: words.limitOf(l.source.measure, quantity.show(l.y, 'V'), l.names.join(', ')),
    }));
    return series.length
      ? {
          title: words.questions['turn-on'],
          says: words.says.turnOn(
            series.map((s) => `${s.name} ${quantity.show(highest(s.y), 'V')}`).join(', '),
          ),
          along: words.axis.time,
          up: words.axis.volts,
          series,
          limits: lines,
          bands: true,
        }
      : null;
  }

  // The currents of the rectifier's plates over three periods from `from`.
  function pulses(trace, rows, set, from, span, measure, title) {
    const t = trace.columns[0];
    const names = trace.names.filter(
      (n, i) =>
        trace.units[i] === 'A' &&
        set.parts.some((p) => p.is === 'rectifier' && (p.name === n || n.startsWith(`${p.name}.`))),
    );
    const cut = part(
      names.map((n) => ({ name: n, x: t, y: column(trace, n, 'A') })),
      from,
    ).map((s) => ({
      name: s.name,
      x: s.x.map((v) => (v - from) * 1e3),
      y: s.y.map((v) => v * 1e3),
    }));
    const lines = limits(
      rows,
      (r) => names.includes(r.subject) && r.measure === measure && r.limit > 0,
    ).map((l) => ({ y: l.y * 1e3, name: words.limitOf(measure, quantity.show(l.y, 'A'), '') }));
    const inside = cut.map((s) => highest(s.y.filter((v, i) => s.x[i] <= span * 1e3)));
    return cut.length
      ? {
          title,
          says: words.says.pulses(
            cut.map((s, i) => `${s.name} ${quantity.show(inside[i] / 1e3, 'A')}`).join(', '),
          ),
          along: words.axis.ms,
          up: words.axis.milliamperes,
          series: cut,
          limits: lines,
          from: 0,
          to: span * 1e3,
        }
      : null;
  }

  function period(set) {
    const f = quantity.read(set.mains.frequency || '60 Hz');
    return 1 / (f ? f.value : 60);
  }

  function cycles(out, rows, set) {
    const trace = file(out, 'trace.csv');
    const span = 3 * period(set);
    return (
      trace &&
      pulses(
        trace,
        rows,
        set,
        end(trace.columns[0]) - span,
        span,
        'running-peak-current',
        words.questions.cycles,
      )
    );
  }

  function restart(out, rows, set) {
    const trace = file(out, 'restart.csv');
    return (
      trace &&
      pulses(trace, rows, set, 0, 3 * period(set), 'inrush-peak-current', words.questions.restart)
    );
  }

  function inverse(out, rows, set) {
    const trace = file(out, 'trace.csv');
    if (!trace) return null;
    const t = trace.columns[0];
    const span = 3 * period(set);
    const series = [];
    for (const r of set.parts.filter((p) => p.is === 'rectifier')) {
      const plates = [].concat(r.keys.plates || []);
      plates.forEach((plate, i) => {
        const volts = (point) =>
          point === set.reference ? new Float64Array(t.length) : column(trace, point, 'V');
        const k = volts(Array.isArray(r.keys.cathodes) ? r.keys.cathodes[i] : r.keys.cathode);
        const p = volts(plate);
        if (k && p)
          series.push({
            name: plates.length > 1 ? `${r.name}.${i + 1}` : r.name,
            x: t,
            y: k.map((v, n) => v - p[n]),
          });
      });
    }
    if (!series.length) return null;
    const lines = limits(rows, (r) => r.measure === 'inverse-voltage' && r.limit > 0).map((l) => ({
      y: l.y,
      name: words.limitOf('inverse-voltage', quantity.show(l.y, 'V'), l.names.join(', ')),
    }));
    const tops = series.map(
      (s) =>
        `${s.name} ${quantity.show(figures.one(rows, s.name, 'inverse-voltage') || highest(s.y), 'V')}`,
    );
    const from = end(t) - span;
    return {
      title: words.questions.inverse,
      says: words.says.inverse(tops.join(', ')),
      along: words.axis.ms,
      up: words.axis.volts,
      series: part(series, from).map((s) => ({ ...s, x: s.x.map((v) => (v - from) * 1e3) })),
      limits: lines,
      from: 0,
      to: span * 1e3,
    };
  }

  function heat(out, rows, warm, unit, measure, title, up) {
    const trace = file(out, 'heat.csv');
    if (!trace) return null;
    const t = trace.columns[0];
    const all = trace.names
      .map((name, i) => ({ name, unit: trace.units[i], x: t, y: trace.columns[i] }))
      .filter((s) => s.unit === unit && s.name !== 'mains');
    const series = all.sort((a, b) => end(b.y) - end(a.y)).slice(0, 6);
    if (!series.length) return null;
    const lines =
      unit === 'degC'
        ? limits(
            rows,
            (r) =>
              r.measure === 'temperature' && r.limit && series.some((s) => s.name === r.subject),
          ).map((l) => ({
            y: l.y - 273.15,
            name: words.limitOf(
              'temperature',
              quantity.show(l.y - 273.15, 'degC'),
              l.names.join(', '),
            ),
          }))
        : [];
    const last = (s) => `${s.name} ${quantity.show(end(s.y), unit)}`;
    const later = warm
      .filter((r) => r.measure === measure && series.some((s) => s.name === r.subject))
      .map((r) => `${r.subject} ${figures.show(r)}`);
    return {
      title,
      says: words.says.heat(series.map(last).join(', '), later.join(', ')),
      along: words.axis.time,
      up,
      series,
      limits: lines,
    };
  }

  const ALL = {
    'turn-on': turnOn,
    cycles,
    restart,
    inverse,
    warmth: (out, rows, set, warm) =>
      heat(out, rows, warm, 'degC', 'temperature', words.questions.warmth, words.axis.degrees),
    heat: (out, rows, set, warm) =>
      heat(out, rows, warm, 'W', 'dissipation', words.questions.heat, words.axis.watts),
  };

  // The picture that answers a question from a turn-on; null where it has nothing of it.
  function make(question, out, label, set) {
    if (!ALL[question]) return null;
    const rows = [
      ...(figures.of(out, label) || []),
      ...(figures.of(out, `${label} (hot restart)`) || []),
    ];
    return ALL[question](out, rows, set, figures.of(out, `${label} (warm)`) || []);
  }

  return { names: Object.keys(ALL), make };
})();

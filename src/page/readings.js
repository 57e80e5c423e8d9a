// SPDX-License-Identifier: GPL-3.0-or-later
// The readings of a job: which there are to take on which day, what was typed, what it says beside
// what was expected, and the file of readings that the engine's diagnosis takes.
'use strict';

const readings = (() => {
  const DAYS = ['1', '2', '3', '4'];
  const TOUCH = ['capacitor', 'power transformer', 'field coil', 'choke'];

  // A reading's name holds its day, what it is of, and how: "3|B+|DC".
  function name(day, of, how) {
    return `${day}|${of}|${how}`;
  }

  function split(id) {
    const [day, of, how] = id.split('|');
    return { day, of, how };
  }

  function unit(how) {
    return (
      { ohm: 'ohm', DC: 'V', AC: 'V', current: 'A', power: 'W', lamp: 'V', heater: 'V' }[how] || ''
    );
  }

  // Rows of the bench sheet that is there, else none.
  function sheet(job) {
    const seen = work.look('bench-sheet found', requests.sheet('bench-sheet', job, false));
    if (!seen.out || seen.state === 'failed') return [];
    return csv
      .records(seen.out.files[requests.path('bench-sheet.csv')])
      .map((r) => ({
        ...r,
        value: Number(r.value),
        least: r.least === '' ? null : Number(r.least),
        most: r.most === '' ? null : Number(r.most),
      }));
  }

  // The capacitors that the sheet calls first and second filter: those at the first rectifier's
  // cathode and at the first of the other points of capacitors.
  function filters(set) {
    const parts = set.parts.filter((p) => p.is === 'capacitor' && Array.isArray(p.keys.across));
    const rectifier = set.parts.find((p) => p.is === 'rectifier' && p.keys.cathode);
    const first = rectifier && parts.find((p) => p.keys.across[0] === rectifier.keys.cathode);
    const rest = parts.filter(
      (p) =>
        p.keys.across[0] !== (first && first.keys.across[0]) &&
        p.keys.across.includes(set.reference),
    );
    return { first: first && first.keys.across[0], second: rest[0] && rest[0].keys.across[0] };
  }

  function band(row) {
    return row && { value: row.value, least: row.least, most: row.most };
  }

  function lamps(job) {
    return [
      ...new Set(
        sheet(job)
          .filter((r) => r.section === 'tubes in' && / W lamp$/.test(r.step))
          .map((r) => r.step),
      ),
    ];
  }

  // The lamp in use: chosen, else the one the sheet goes through with its faults.
  function lamp(job) {
    if (job.lamp) return job.lamp;
    const rows = sheet(job).filter((r) => r.section === 'tubes in' && / W lamp$/.test(r.step));
    const faulty = rows.find((r) => r.condition !== 'sound');
    return faulty ? faulty.step : rows.length ? rows[0].step : '60 W lamp';
  }

  function dead(job, set) {
    const rows = sheet(job).filter((r) => r.section === 'before power' && r.unit === 'ohm');
    const listed = rows.map((r) => {
      const ways = r.reading.replace(/ \(in place\)$/, '');
      return {
        id: name('1', ways.replace(/^.*?: /, ''), 'ohm'),
        label: ways,
        unit: 'ohm',
        expect: band(r),
      };
    });
    if (listed.length) return listed;
    return set.parts
      .filter((p) => p.is === 'capacitor' && Array.isArray(p.keys.across))
      .map((p) => ({
        id: name('1', p.keys.across.join(' to '), 'ohm'),
        label: `${p.name}: ${p.keys.across.join(' to ')}`,
        unit: 'ohm',
        expect: null,
      }));
  }

  function underPower(job, set, day, step) {
    const rows = sheet(job).filter((r) => r.section === 'tubes in' && r.step === step);
    const warm = day === '3' ? turned(job) : [];
    // the sheet's band; until it is there the warm set's figure
    const sound = (reading, subject, measure) => {
      const row = rows.find((r) => r.condition === 'sound' && r.reading === reading);
      const value = row || !subject ? null : figures.one(warm, subject, measure);
      return row ? band(row) : value === null ? null : { value, least: null, most: null };
    };
    const f = filters(set);
    const own = figures.points(warm, set).filter((p) => !p.alternating && Math.abs(p.dc) > 1);
    const list = [];
    if (day === '2')
      list.push({ id: name(day, 'lamp', 'lamp'), label: words.lampVolts, expect: sound('lamp') });
    for (const [which, point] of [
      ['first filter', f.first],
      ['second filter', f.second],
    ]) {
      if (point)
        list.push({
          id: name(day, point, 'DC'),
          label: words.dcAt(point),
          sheet: which,
          expect: sound(which, point, 'settled-voltage'),
        });
    }
    if (f.first) {
      list.push({
        id: name(day, f.first, 'AC'),
        label: words.acOn(f.first),
        sheet: 'first ripple',
        expect: sound('first ripple', f.first, 'ripple-rms'),
      });
    }
    if (day === '3') {
      for (const p of own) {
        const id = name(day, p.name, 'DC');
        if (list.some((r) => r.id === id)) continue;
        list.push({
          id,
          label: words.dcAt(p.name),
          expect: { value: p.dc, least: null, most: null },
        });
      }
    }
    list.push({
      id: name(day, 'mains', 'current'),
      label: words.lineCurrent,
      sheet: 'line current',
      expect: sound('line current', 'mains', 'line-current'),
    });
    list.push({
      id: name(day, 'mains', 'power'),
      label: words.linePower,
      sheet: 'line power',
      expect: sound('line power', 'mains', 'line-power'),
    });
    const rowsOf = (which) => rows.filter((r) => r.reading === which && r.condition !== 'sound');
    return list.map((r) => ({
      ...r,
      unit: unit(split(r.id).how),
      faults: rowsOf(r.sheet || split(r.id).of),
    }));
  }

  // The warm set as found, from whichever run is there.
  function turned(job) {
    const request = requests.settled(job, false);
    const settled = request && work.look('settled found', request);
    if (settled && settled.out && settled.state === 'fresh') return figures.of(settled.out);
    const seen = work.look('turn-on found', requests.turnOn(job, false));
    if (!seen.out || seen.state === 'failed') return [];
    const { label } = requests.subject(job, false);
    const warm = figures.of(seen.out, `${label} (warm)`);
    return warm && warm.length ? warm : figures.of(seen.out, label) || [];
  }

  function soak(set) {
    return set.parts
      .filter((p) => TOUCH.includes(p.is))
      .map((p) => ({
        id: name('4', p.name, 'touch'),
        label: words.touch(p.name, p.is),
        options: words.warmths,
      }))
      .concat([{ id: name('4', 'hum', 'noticed'), label: words.humHeard, options: words.hums }]);
  }

  // All readings of a day in the order they are taken.
  function list(job, day) {
    const set = scenario.parse(job.text);
    if (day === '1') return dead(job, set);
    if (day === '2') return underPower(job, set, '2', lamp(job));
    if (day === '3') return underPower(job, set, '3', 'full line');
    return soak(set);
  }

  // What was typed, as the engine reads it: { text } or { complaint }.
  function understand(typed, wanted) {
    const text = typed.trim();
    if (!text) return { complaint: words.typeIt };
    if (/,/.test(text)) return { complaint: words.noComma };
    if (wanted === 'ohm' && /^(open|none|ol)$/i.test(text)) return { text: 'open' };
    const bare = /^-?\d*\.?\d+$/.test(text);
    const short = /^(-?\d*\.?\d+)\s*([kMmu])$/.exec(text);
    const whole = bare ? `${text} ${wanted}` : short ? `${short[1]} ${short[2]}${wanted}` : text;
    const found = quantity.read(whole);
    if (!found || found.unit.toLowerCase() !== wanted.toLowerCase())
      return { complaint: words.wrongUnit(wanted) };
    if (found.value < 0 && wanted !== 'V') return { complaint: words.noLess };
    return { text: whole };
  }

  // { kind: good, off or none, text }: what a reading says beside what was expected.
  function compare(reading, typed) {
    if (!typed) return null;
    const read = typed === 'open' ? Infinity : (quantity.read(typed) || {}).value;
    const expect = reading.expect;
    if (!expect || read === undefined) return { kind: 'none', text: words.nothingToCompare };
    const spare = 0.1 * Math.abs(expect.value);
    const least = expect.least === null ? expect.value - spare : expect.least;
    const most = expect.most === null ? expect.value + spare : expect.most;
    if (reading.unit === 'ohm' && expect.value > 1e6 && read > 5e4)
      return { kind: 'good', text: words.noShort };
    if (read >= least && read <= most) return { kind: 'good', text: words.asExpected };
    const near = (reading.faults || [])
      .map((f) => ({ f, off: Math.abs(f.value - read) }))
      .sort((a, b) => a.off - b.off)[0];
    const fits =
      near && near.off <= Math.max(0.1 * Math.abs(near.f.value), 0.02 * Math.abs(expect.value));
    const side = read < least ? words.lower : words.higher;
    return { kind: 'off', text: fits ? words.readsLike(side, near.f.condition) : side };
  }

  function expected(reading) {
    const e = reading.expect;
    if (!e) return reading.options ? '' : words.workingOut;
    if (reading.unit === 'ohm' && e.value > 1e6) return words.overMeg;
    if (e.least === null) return words.roughly(quantity.show(e.value, reading.unit));
    return words.between(quantity.show(e.least, reading.unit), quantity.show(e.most, reading.unit));
  }

  function done(job, id) {
    return job.readings[id] || job.skipped[id] || job.noticed[id];
  }

  // The next reading to take on a day; undefined when all are done.
  function next(job, day) {
    return list(job, day).find((r) => !done(job, r.id));
  }

  // The file for the engine's diagnosis; '' where nothing was read.
  function file(job) {
    const sets = [];
    const into = (day, title) => {
      let found = sets.find((s) => s.name === title);
      if (!found) {
        found = { name: title };
        if (day === '2') found.lamp = lamp(job).replace(/ lamp$/, ` ${lampVolts(job)}`);
        sets.push(found);
      }
      return found;
    };
    const titles = { 1: 'dead', 2: 'on the lamp', 3: 'at full line', 4: 'after an hour' };
    for (const [id, text] of Object.entries(job.readings)) {
      const { day, of, how } = split(id);
      if (how === 'lamp') continue;
      const target = into(day, titles[day] || titles[3]);
      const key = how === 'ohm' ? 'ohms' : of;
      target[key] = { ...target[key], [how === 'ohm' ? of : how]: text };
    }
    const seen = Object.entries(job.noticed)
      .filter(([, word]) => word)
      .map(([id, word]) => [split(id), word]);
    for (const [{ day, of }, word] of seen) {
      const target = into(day, day === '4' ? titles[3] : titles[day]);
      target.noticed = [...(target.noticed || []), `${of} ${word}`];
    }
    if (!sets.length) return '';
    const meter = { resistance: job.meter };
    return new YAML.Document({ meter, measured: sets }, { schema: 'failsafe' }).toString({
      lineWidth: 0,
    });
  }

  function lampVolts(job) {
    const found = quantity.read(requests.volts(job, false));
    return found && found.value >= 160 ? '230 V' : '120 V';
  }

  return {
    DAYS,
    list,
    lamps,
    lamp,
    next,
    done,
    understand,
    compare,
    expected,
    turned,
    file,
    split,
    filters,
  };
})();

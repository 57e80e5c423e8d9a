// SPDX-License-Identifier: GPL-3.0-or-later
// What each key of a scenario takes, after the engine's schema; the kinds' faults and models as the
// engine prints them; and the values that can be bought.
'use strict';

const values = (() => {
  const kinds = new Map();
  const E6 = [1, 1.5, 2.2, 3.3, 4.7, 6.8];
  const E12 = [1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
  // Ratings that makers list for filter capacitors.
  const VOLTS = [16, 25, 35, 50, 63, 100, 160, 200, 250, 350, 400, 450, 500, 550, 600];
  const WATTS = [0.5, 1, 2, 3, 5, 7, 10, 15, 20, 25, 50];
  const HENRIES = [1, 1.5, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 30];
  // What a sentence may change of a part; `series` are values to step through.
  const SLOTS = {
    capacitor: { value: 'farads', rated: 'volts', make: ['modern', 'film', 'dry', 'wet', 'paper'] },
    resistor: { resistance: 'ohms', rated: 'watts' },
    choke: { inductance: 'henries', resistance: 'ohms' },
    'field coil': { resistance: 'ohms' },
    rectifier: { type: 'models' },
  };

  // Continuation lines are set in deeper than the line they go on from.
  function section(lines, head, indent) {
    const from = lines.findIndex((l) => l.startsWith(`  ${head}:`));
    const found = [];
    if (from < 0) return found;
    for (const line of lines.slice(from + 1)) {
      if (/^ {0,2}\S/.test(line) && !(indent === 2 && /^ {2}\S.* {2,}/.test(line))) break;
      const own = line.length - line.trimStart().length === indent;
      if (own) found.push(line.trim());
      else if (found.length && indent !== 2) found[found.length - 1] += ` ${line.trim()}`;
    }
    return found;
  }

  function read(text) {
    const lines = text.split('\n');
    const faults = section(lines, 'faults', 4).map((l) => {
      const at = l.indexOf(': ');
      return {
        name: l.slice(0, at).replace(' (dangerous)', ''),
        text: l.slice(at + 2).replace(/ {2,}.*$/, ''),
      };
    });
    const models = section(lines, 'models', 2).map((l) => l.split(/ {2,}/)[0]);
    return { faults, models };
  }

  let schema = null;

  // What the key at `path` takes (`parts C1 value` of a capacitor), in the schema's words; '' where
  // it has none, or until the engine has told them.
  function takes(path, is) {
    if (!schema) {
      schema = { definitions: {} };
      work.ask('schema', requests.schema()).then((out) => {
        schema = JSON.parse(out.stdout);
        main.again();
      });
    }
    const all = schema.definitions;
    const kind = ((all.part || {}).allOf || []).find((k) => k.if.properties.is.enum.includes(is));
    let at = kind ? kind.then : { properties: schema.properties };
    for (const key of kind ? path.slice(2) : path) {
      if (at.$ref) at = all[at.$ref.replace('#/definitions/', '')];
      const map = [at, ...(at.anyOf || [])].find((m) => m.properties || m.additionalProperties);
      if (typeof key === 'string')
        at = map && ((map.properties || {})[key] || map.additionalProperties);
      if (!at) return '';
    }
    return at.description || '';
  }

  // The table of a kind: { faults, models }; null until the engine has told it.
  function kind(name) {
    if (!kinds.has(name)) {
      kinds.set(name, null);
      work.ask(`kind ${name}`, requests.kind(name)).then((out) => {
        kinds.set(name, read(out.stdout));
        main.again();
      });
    }
    return kinds.get(name);
  }

  function series(steps, low, high) {
    const all = [];
    for (let decade = 10 ** Math.floor(Math.log10(low)); decade <= high; decade *= 10) {
      for (const step of steps) {
        const v = Number((step * decade).toPrecision(3));
        if (v >= low * 0.999 && v <= high * 1.001) all.push(v);
      }
    }
    return all;
  }

  // What can be bought around the present value, in order, with the present one among them.
  function buyable(what, present) {
    const now = quantity.read(present);
    const lists = {
      farads: () => [series(E6, 1e-6, 220e-6), 'F'],
      volts: () => [VOLTS, 'V'],
      watts: () => [WATTS, 'W'],
      henries: () => [HENRIES, 'H'],
      ohms: () => {
        const at = now ? now.value : 1000;
        return [series(E12, Math.max(1, at / 30), at * 30), 'ohm'];
      },
    };
    if (!lists[what]) return [];
    const [list, unit] = lists[what]();
    const all = list.map((v) => ({ value: v, text: quantity.write(v, unit) }));
    if (present && now && !all.some((o) => Math.abs(o.value - now.value) < 1e-6 * o.value)) {
      all.push({ value: now.value, text: present });
    }
    return all
      .sort((a, b) => a.value - b.value)
      .map((o) => (now && Math.abs(o.value - now.value) < 1e-6 * o.value ? present : o.text));
  }

  function slots(is) {
    return SLOTS[is] || {};
  }

  return { kind, takes, buyable, slots };
})();

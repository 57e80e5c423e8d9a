// SPDX-License-Identifier: GPL-3.0-or-later
// A change in a sentence: C1 is 10 uF, new, and the line is 121 V. What the meter would settle at
// follows at once, the turn-on after it.
'use strict';

const screenChange = (() => {
  function changed(job, part, key) {
    return job.changes.find((c) => c.part === part && c.key === key);
  }

  function present(job, part, key) {
    const set = scenario.parse(job.text);
    const laid = changed(job, part, key);
    return laid ? laid.to : scenario.value(set, job.variant, part, key);
  }

  function put(part, key, to, slides) {
    const job = store.get();
    const found = scenario.value(scenario.parse(job.text), job.variant, part, key);
    const rest = job.changes.filter((c) => c.part !== part || c.key !== key);
    const changes =
      to === found || to === '' || (!found && key === 'condition' && to === 'good')
        ? rest
        : [...rest, { part, key, to }];
    const what = words.did.change(part, key);
    if (slides) store.slide(what, { changes });
    else store.change(what, { changes });
  }

  function mark(job, part, key) {
    return changed(job, part, key)
      ? dom.el('span', { class: 'imagined' }, words.imaginedMark)
      : null;
  }

  // A value with a step down and a step up through what can be bought.
  function stepper(job, part, key, what) {
    const now = present(job, part, key);
    const list = values.buyable(what, now);
    const at = list.indexOf(now);
    const id = `${part}-${key}`.replace(/[^\w-]+/g, '_');
    const step = (by) =>
      put(part, key, list[Math.max(0, Math.min(list.length - 1, (at < 0 ? 0 : at) + by))]);
    const label = `${part} ${words.keyName(key)}`;
    return dom.el(
      'span',
      { class: 'slot', role: 'group', 'aria-label': label },
      dom.button(`${id}-less`, '\u2212', () => step(-1), {
        'aria-label': words.less(label),
        disabled: at === 0,
      }),
      dom.el('output', { class: 'figure', id: `${id}-now` }, now || words.notGiven),
      dom.button(`${id}-more`, '+', () => step(1), {
        'aria-label': words.more(label),
        disabled: at === list.length - 1,
      }),
      mark(job, part, key),
    );
  }

  function chooser(job, part, key, options) {
    const now = present(job, part, key) || (key === 'condition' ? 'good' : '');
    const all = options.includes(now) || !now ? options : [now, ...options];
    const id = `${part}-${key}`.replace(/[^\w-]+/g, '_');
    return dom.el(
      'span',
      { class: 'slot' },
      dom.select(
        `${id}-pick`,
        now
          ? all.map((o) => [o, words.option(o)])
          : [['', words.notGiven], ...all.map((o) => [o, words.option(o)])],
        now,
        (to) => put(part, key, to),
        { 'aria-label': `${part} ${words.keyName(key)}` },
      ),
      mark(job, part, key),
    );
  }

  function clause(job, part) {
    const slots = values.slots(part.is);
    const kind = values.kind(part.is);
    const out = [dom.el('strong', {}, part.name), ` (${part.is}) ${words.is} `];
    let first = true;
    for (const [key, what] of Object.entries(slots)) {
      if (!Array.isArray(what) && what !== 'models' && !present(job, part.name, key)) continue;
      if (!first) out.push(words.comma);
      first = false;
      if (Array.isArray(what)) out.push(chooser(job, part.name, key, what));
      else if (what === 'models')
        out.push(kind ? chooser(job, part.name, key, kind.models) : words.computing);
      else out.push(`${words.before(key)} `, stepper(job, part.name, key, what));
    }
    if (kind && kind.faults.length) {
      out.push(
        first ? '' : `${words.comma}${words.andIs} `,
        chooser(job, part.name, 'condition', ['good', ...kind.faults.map((f) => f.name)]),
      );
    }
    return dom.el('p', { class: 'sentence' }, out);
  }

  function line(job) {
    const now = quantity.read(present(job, 'mains', 'voltage'));
    const found = quantity.read(
      scenario.value(scenario.parse(job.text), job.variant, 'mains', 'voltage'),
    );
    if (!now || !found) return null;
    const shown = dom.el(
      'output',
      { class: 'figure', id: 'line-now', for: 'line' },
      `${now.value} V`,
    );
    const step = found.value > 30 ? 1 : 0.1;
    const least = Math.floor((found.value * 0.75) / step) * step;
    const most = Math.ceil((found.value * 1.15) / step) * step;
    const input = dom.el('input', {
      type: 'range',
      id: 'line',
      min: String(Number(least.toFixed(1))),
      max: String(Number(most.toFixed(1))),
      step: String(step),
      value: String(now.value),
      input: (e) => {
        shown.textContent = `${Number(e.target.value)} V`;
        put('mains', 'voltage', `${Number(e.target.value)} V`, true);
      },
    });
    return dom.el(
      'p',
      { class: 'sentence' },
      dom.el('label', { for: 'line' }, words.andLine),
      ' ',
      input,
      ' ',
      shown,
      ' ',
      main.live(() => mark(store.get(), 'mains', 'voltage')),
    );
  }

  // As found and as imagined beside each other.
  function settledTable(job) {
    const found = answers.settled(job, false);
    const imagined = answers.settled(job, true);
    const set = scenario.parse(job.text);
    if (found.state === 'failed') return answers.failed(found.out);
    if (imagined.state === 'failed') return answers.failed(imagined.out);
    if (!job.changes.length) return answers.volts(job, false);
    if (!found.out || !imagined.out) return dom.el('p', {}, words.computing);
    const was = figures.of(found.out) || [];
    const will = figures.of(imagined.out) || [];
    const cells = [];
    const row = (label, subject, measure, unit) => {
      const a = figures.one(was, subject, measure);
      const b = figures.one(will, subject, measure);
      if (a === null && b === null) return;
      const part = a && b !== null ? (100 * (b - a)) / Math.abs(a) : null;
      cells.push([
        label,
        quantity.show(a, unit),
        { cell: quantity.show(b, unit), class: 'figure' },
        part === null || !Number.isFinite(part)
          ? ''
          : Math.abs(part) < 0.05
            ? words.same
            : `${part > 0 ? '+' : '\u2212'}${Math.abs(part) < 10 ? Math.abs(part).toFixed(1) : Math.round(Math.abs(part))} %`,
      ]);
    };
    for (const p of figures.points(was, set).filter((q) => !q.alternating && Math.abs(q.dc) > 1)) {
      row(words.dcAt(p.name), p.name, 'settled-voltage', 'V');
      row(words.acOn(p.name), p.name, 'ripple-rms', 'V');
    }
    row(words.lineCurrent, 'mains', 'line-current', 'A');
    row(words.linePower, 'mains', 'line-power', 'W');
    for (const r of set.parts.filter((p) => p.is === 'rectifier')) {
      for (const plate of [r.name, `${r.name}.1`, `${r.name}.2`])
        row(words.peakOf(plate), plate, 'running-peak-current', 'A');
    }
    const table = dom.table(words.changeTable, words.changeHeads, cells);
    table.id = 'settled';
    table.dataset.says = words.settledAt(
      figures
        .points(will, set)
        .filter((p) => !p.alternating && Math.abs(p.dc) > 1)
        .map((p) => `${p.name} ${quantity.show(p.dc, 'V')}`),
    );
    const state = imagined.state === 'old' ? 'old' : '';
    const over = figures.margins(will).filter((r) => r.verdict === 'over');
    return answers.old(state, [
      table,
      over.length ? dom.el('p', { class: 'stop' }, words.overSettled(answers.list(over))) : null,
    ]);
  }

  function draw(job) {
    const set = scenario.parse(job.text);
    const capacitors = set.parts.filter((p) => p.is === 'capacitor');
    const reservoir = readings.filters(set).first;
    const first =
      capacitors.find((p) => [].concat(p.keys.across || []).includes(reservoir)) || capacitors[0];
    const names = [
      ...new Set([
        ...job.changes.map((c) => c.part),
        ...job.shown,
        ...(job.shown.length || job.changes.some((c) => c.part !== 'mains') || !first
          ? []
          : [first.name]),
      ]),
    ];
    const shown = set.parts.filter((p) => names.includes(p.name));
    const others = set.parts.filter((p) => !shown.includes(p));
    return [
      main.title(words.titles.change),
      dom.el('p', {}, words.changeHint),
      shown.map((p) => clause(job, p)),
      line(job),
      dom.el(
        'p',
        { class: 'acts' },
        others.length
          ? [
              dom.el('label', { for: 'also' }, words.also),
              ' ',
              dom.select(
                'also',
                [['', words.aPart], ...others.map((p) => [p.name, `${p.name} (${p.is})`])],
                '',
                (name) => name && store.change(words.did.shown(name), { shown: [...names, name] }),
              ),
            ]
          : null,
        dom.button(
          'as-found',
          words.asFoundAgain,
          () => store.change(words.did.asFound, { changes: [], shown: [] }),
          { disabled: !job.changes.length },
        ),
      ),
      dom.el('h2', {}, words.settledHead),
      dom.el('p', {}, words.changeSettled),
      main.live(() =>
        answers.ready(store.get()) ? settledTable(store.get()) : answers.checked(store.get()),
      ),
      dom.el('h2', {}, words.turnOnHead),
      main.live(() => {
        const now = store.get();
        return now.changes.length
          ? [answers.verdict(now, true, 'h3'), answers.margins(now, true, 6)]
          : [dom.el('p', {}, words.nothingChanged), answers.verdict(now, false, 'h3')];
      }),
      dom.el(
        'p',
        { class: 'acts' },
        dom.el('a', { class: 'act', href: '#see' }, words.seeBoth),
        dom.el('a', { class: 'act', href: '#sheets' }, words.toSheets),
      ),
      main.live(() => {
        const run = answers.meaning(store.get(), store.get().changes.length > 0);
        return run.out && run.state !== 'failed'
          ? report.one(run.out.stdout, 'cautions', 'h2')
          : null;
      }),
    ];
  }

  return { draw };
})();

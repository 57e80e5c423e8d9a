// SPDX-License-Identifier: GPL-3.0-or-later
// The set works wrongly: readings in, causes out, and what to read next.
'use strict';

const screenWrong = (() => {
  const WAYS = [
    ['DC', 'V'],
    ['AC', 'V'],
    ['ohm', 'ohm'],
  ];

  function points(set) {
    const found = new Set();
    for (const p of set.parts) {
      for (const key of ['across', 'plates', 'cathode', 'cathodes']) {
        const value = p.keys[key];
        for (const name of Array.isArray(value) ? value : value ? [value] : [])
          if (typeof name === 'string') found.add(name);
      }
      const windings = p.keys.windings || {};
      for (const w of Object.values(windings))
        for (const name of [].concat(w.across || [])) found.add(name);
    }
    return [...found].filter((n) => n !== set.reference);
  }

  function title(id) {
    const { day, of, how } = readings.split(id);
    const what =
      how === 'ohm'
        ? words.ohmsOf(of)
        : how === 'AC'
          ? words.acOn(of)
          : how === 'DC'
            ? words.dcAt(of)
            : how === 'current'
              ? words.lineCurrent
              : how === 'power'
                ? words.linePower
                : how === 'lamp'
                  ? words.lampVolts
                  : of;
    return `${what}, ${words.onDay[day]}`;
  }

  function drop(id) {
    const left = { ...store.get().readings };
    delete left[id];
    store.change(words.did.dropped(title(id)), { readings: left });
  }

  function typed(job) {
    const all = Object.entries(job.readings);
    const noticed = Object.entries(job.noticed).filter(([, word]) => word);
    if (!all.length && !noticed.length) return dom.el('p', {}, words.noReadings);
    return dom.table(words.readingsTable, words.readingsHeads, [
      ...all.map(([id, text]) => [
        title(id),
        text,
        dom.button(`drop-${id}`, words.strike, () => drop(id), {
          'aria-label': `${words.strike}: ${title(id)}`,
        }),
      ]),
      ...noticed.map(([id, word]) => [
        readings.split(id).of,
        word,
        dom.button(
          `drop-${id}`,
          words.strike,
          () => {
            const left = { ...store.get().noticed };
            delete left[id];
            store.change(words.did.dropped(readings.split(id).of), { noticed: left });
          },
          { 'aria-label': `${words.strike}: ${readings.split(id).of}` },
        ),
      ]),
    ]);
  }

  function add(job, set) {
    const d = (name, otherwise) =>
      job.drafts[`add ${name}`] !== undefined ? job.drafts[`add ${name}`] : otherwise;
    const names = points(set);
    const filters = readings.filters(set);
    const way = d('way', 'DC');
    const of = d('of', filters.second || filters.first || names[0]);
    const unit = way === 'ohm' ? 'ohm' : way === 'current' ? 'A' : way === 'power' ? 'W' : 'V';
    const pick = (name) => (value) => {
      store.draft(`add ${name}`, value);
      main.again();
    };
    const input = dom.el('input', {
      type: 'text',
      autocomplete: 'off',
      class: 'figure',
      value: d('value', ''),
      input: (e) => store.draft('add value', e.target.value),
    });
    return dom.el(
      'form',
      {
        submit: (e) => {
          e.preventDefault();
          const understood = readings.understand(input.value, unit);
          if (understood.complaint) {
            store.draft('add error', understood.complaint);
            main.again();
            return;
          }
          const line = way === 'current' || way === 'power';
          const id = `${way === 'ohm' ? '1' : '3'}|${line ? 'mains' : way === 'ohm' ? `${of} to ${set.reference}` : of}|${way}`;
          const drafts = { ...store.get().drafts };
          delete drafts['add value'];
          delete drafts['add error'];
          store.change(words.did.reading(title(id)), {
            drafts,
            readings: { ...store.get().readings, [id]: understood.text },
          });
          dom.say(words.taken1(title(id)));
        },
      },
      dom.field(
        'add-way',
        words.addWay,
        dom.select(
          'add-way',
          [
            ...WAYS.map(([w]) => [w, words.ways[w]]),
            ['current', words.ways.current],
            ['power', words.ways.power],
          ],
          way,
          pick('way'),
        ),
      ),
      way === 'current' || way === 'power'
        ? null
        : dom.field(
            'add-of',
            words.addOf,
            dom.select('add-of', names, of, pick('of')),
            way === 'ohm' ? words.ohmsTo(set.reference) : words.voltsTo(set.reference),
          ),
      dom.field(
        'add-value',
        `${words.youRead} (${unit})`,
        input,
        unit === 'ohm' ? words.ohmHint : words.numberHint(unit),
        job.drafts['add error'],
      ),
      dom.el('button', { type: 'submit', id: 'add-reading' }, words.addReading),
    );
  }

  function noticedChoices(job) {
    return dom.el(
      'details',
      { id: 'noticed' },
      dom.el('summary', {}, words.noticedHead),
      words.noticedKinds.map(([what, label, options]) => {
        const id = `3|${what}|noticed`;
        return dom.choices(
          `noticed-${what}`,
          label,
          [['', words.notLooked], ...options.map((o) => [o, o])],
          job.noticed[id] || '',
          (word) => {
            const next = { ...store.get().noticed, [id]: word };
            if (!word) delete next[id];
            store.change(words.did.reading(label), { noticed: next });
          },
        );
      }),
    );
  }

  function answer(job) {
    const file = readings.file(job);
    const request = file && requests.diagnose(job, file);
    const run = request ? work.look('diagnosis', request) : { state: 'none' };
    const ask = dom.button('diagnose', words.askWrong, () => work.press('diagnosis', request), {
      disabled: !file,
    });
    if (run.state === 'none')
      return [dom.el('p', {}, ask), file ? null : dom.el('p', {}, words.readFirst)];
    if (run.state === 'running') return dom.el('p', { class: 'unknown' }, words.diagnosing);
    if (run.state === 'failed') return [answers.failed(run.out), dom.el('p', {}, ask)];
    return [
      run.state === 'old' ? dom.el('p', {}, ask) : null,
      answers.old(run.state, [
        run.state === 'partial' ? dom.el('p', { class: 'mark' }, words.partial) : null,
        dom.el('div', { class: 'note', id: 'most-likely' }, report.lead(run.out.stdout)),
        report.rest(run.out.stdout, 'h3'),
      ]),
    ];
  }

  function draw(job) {
    const set = scenario.parse(job.text);
    return [
      main.title(words.titles.wrong),
      dom.el('div', { class: 'caution' }, dom.el('p', {}, words.wrongCaution)),
      typed(job),
      dom.el(
        'details',
        {
          id: 'add',
          open: !Object.keys(job.readings).length || job.drafts['add value'] !== undefined,
        },
        dom.el('summary', {}, words.addHead),
        add(job, set),
      ),
      noticedChoices(job),
      dom.el('h2', {}, words.whatWrong),
      main.live(() =>
        answers.ready(store.get()) ? answer(store.get()) : answers.checked(store.get()),
      ),
    ];
  }

  return { draw };
})();

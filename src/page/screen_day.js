// SPDX-License-Identifier: GPL-3.0-or-later
// The day at the bench: dead, on the lamp, at full line, the soak. The answer so far and the next
// reading; and one reading a screen.
'use strict';

const screenDay = (() => {
  // The bench sheet has what is expected; it is worked out once, in the background.
  function expectations(job) {
    if (!answers.ready(job)) return answers.checked(job);
    const run = answers.seen('bench-sheet found', requests.sheet('bench-sheet', job, false));
    if (run.state === 'failed') return answers.failed(run.out);
    return run.out ? null : dom.el('p', { class: 'unknown' }, words.expectLater);
  }

  function soFar(job) {
    const list = readings.list(job, job.day);
    const taken = list.filter((r) => readings.done(job, r.id)).length;
    const off = list
      .map((r) => [r, readings.compare(r, job.readings[r.id])])
      .filter(([, c]) => c && c.kind === 'off');
    return dom.el(
      'div',
      { class: off.length ? 'stop' : 'note' },
      dom.el('h2', {}, words.soFar),
      dom.el('p', {}, words.taken(taken, list.length)),
      off.map(([r, c]) => dom.el('p', {}, `${r.label}: ${job.readings[r.id]}, ${c.text}.`)),
      off.length
        ? dom.el('p', {}, words.stopHere, ' ', dom.el('a', { href: '#wrong' }, words.toWrong))
        : null,
    );
  }

  function nextReading(job) {
    const next = readings.next(job, job.day);
    if (next) {
      return dom.el(
        'p',
        { class: 'acts' },
        dom.el(
          'a',
          { class: 'act', id: 'next-reading', href: `#reading/${encodeURIComponent(next.id)}` },
          words.nextReading(next.label),
        ),
      );
    }
    const after = String(Number(job.day) + 1);
    return readings.DAYS.includes(after)
      ? dom.el(
          'p',
          { class: 'acts' },
          dom.button('next-day', words.nextDay(words.days[after]), () =>
            store.change(words.did.day(words.days[after]), { day: after }),
          ),
        )
      : dom.el('p', {}, words.dayDone);
  }

  function table(job) {
    const rows = readings.list(job, job.day).map((r) => {
      const typed = job.readings[r.id] || job.noticed[r.id];
      const said = readings.compare(r, job.readings[r.id]);
      return {
        class: said && said.kind === 'off' ? 'over' : '',
        cells: [
          dom.el('a', { href: `#reading/${encodeURIComponent(r.id)}`, id: `row-${r.id}` }, r.label),
          readings.expected(r),
          typed || (job.skipped[r.id] ? words.notTaken : words.blank),
          said ? said.text : '',
        ],
      };
    });
    return dom.table(words.dayTable(words.days[job.day]), words.dayHeads, rows);
  }

  function draw(job) {
    const lamps = readings.lamps(job);
    return [
      main.title(words.titles.day),
      dom.choices('day', words.whichDay, Object.entries(words.days), job.day, (day) =>
        store.change(words.did.day(words.days[day]), { day }),
      ),
      dom.el(
        'div',
        { class: 'caution' },
        words.dayCautions[job.day].map((text) => dom.el('p', {}, text)),
        scenario.live(job) ? dom.el('p', {}, words.dayLive) : null,
      ),
      main.live(() => expectations(store.get())),
      main.live(() => [soFar(store.get()), nextReading(store.get())]),
      job.day === '2'
        ? dom.field(
            'lamp',
            words.whichLamp,
            dom.select(
              'lamp',
              lamps.length ? lamps : [readings.lamp(job)],
              readings.lamp(job),
              (lamp) => store.change(words.did.lamp(lamp), { lamp }),
            ),
            words.lampHint,
          )
        : null,
      main.live(() => table(store.get())),
    ];
  }

  return { draw };
})();

const screenReading = (() => {
  let out = false;
  let shown = '';

  function keep(job, reading, text) {
    const understood = readings.understand(text, reading.unit);
    const id = `reading ${reading.id}`;
    if (understood.complaint) {
      store.draft(`${id} error`, understood.complaint);
      main.again();
      return;
    }
    const drafts = { ...job.drafts };
    delete drafts[id];
    delete drafts[`${id} error`];
    store.change(words.did.reading(reading.label), {
      drafts,
      readings: { ...store.get().readings, [reading.id]: understood.text },
    });
    main.go('day');
  }

  function fill(job, reading) {
    const id = `reading ${reading.id}`;
    const live = readings.split(reading.id).day !== '1';
    if (live && !out) return dom.el('p', { class: 'hint' }, words.plugFirst);
    if (reading.options) {
      return dom.choices(
        'noticed',
        reading.label,
        reading.options.map((o) => [o, o]),
        job.noticed[reading.id],
        (word) => {
          store.change(words.did.reading(reading.label), {
            noticed: { ...store.get().noticed, [reading.id]: word },
          });
          main.go('day');
        },
      );
    }
    const input = dom.el('input', {
      type: 'text',
      inputmode: reading.unit === 'ohm' ? 'text' : 'decimal',
      autocomplete: 'off',
      class: 'figure',
      value: job.drafts[id] !== undefined ? job.drafts[id] : job.readings[reading.id] || '',
      input: (e) => store.draft(id, e.target.value),
    });
    return dom.el(
      'form',
      {
        submit: (e) => {
          e.preventDefault();
          keep(store.get(), reading, input.value);
        },
      },
      dom.field(
        'typed',
        `${words.youRead} (${reading.unit})`,
        input,
        reading.unit === 'ohm' ? words.ohmHint : words.numberHint(reading.unit),
        job.drafts[`${id} error`],
      ),
      dom.el(
        'p',
        { class: 'acts' },
        dom.el('button', { id: 'keep-reading', type: 'submit' }, words.keepReading),
        dom.button('skip-reading', words.skip, () => {
          const left = { ...store.get().readings };
          delete left[reading.id];
          store.change(words.did.skipped(reading.label), {
            readings: left,
            skipped: { ...store.get().skipped, [reading.id]: 'yes' },
          });
          main.go('day');
        }),
      ),
    );
  }

  function find(job, id) {
    return readings.list(job, readings.split(id || '').day || job.day).find((r) => r.id === id);
  }

  function draw(job, [id]) {
    const day = readings.split(id || '').day || job.day;
    const reading = find(job, id);
    if (!reading)
      return [
        main.title(words.titles.reading),
        dom.el('p', {}, words.noReading),
        dom.el('a', { href: '#day' }, words.back),
      ];
    if (shown !== id) {
      shown = id;
      out = false;
    }
    const live = day !== '1';
    return [
      main.title(reading.label),
      dom.el(
        'ol',
        { class: 'steps' },
        (words.how[readings.split(id).how] || words.how.other)(words.howDay[day]).map((step) =>
          dom.el('li', {}, step),
        ),
      ),
      scenario.live(job) && live ? dom.el('p', { class: 'caution' }, words.dayLive) : null,
      reading.options
        ? null
        : main.live(() =>
            dom.el(
              'p',
              {},
              dom.el('strong', {}, words.expect),
              ' ',
              dom.el(
                'span',
                { class: 'figure' },
                readings.expected(find(store.get(), id) || reading),
              ),
            ),
          ),
      live
        ? dom.el(
            'div',
            { class: 'choice' },
            dom.el('input', {
              type: 'checkbox',
              id: 'plug-out',
              checked: out,
              change: (e) => {
                out = e.target.checked;
                main.again();
              },
            }),
            dom.el('label', { for: 'plug-out' }, words.plugOut),
          )
        : null,
      fill(job, reading),
      dom.el('p', {}, dom.el('a', { href: '#day' }, words.back)),
    ];
  }

  return { draw };
})();

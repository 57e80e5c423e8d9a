// SPDX-License-Identifier: GPL-3.0-or-later
// Pieces of answers that several screens show: what the engine complains of, what to look at first,
// what is over its rating, what the meter should read, cautions.
'use strict';

const answers = (() => {
  const FIGURES = requests.path('figures.csv');

  // Wants a result and gives what there is of it.
  function seen(name, request) {
    if (!request) return { state: 'none', out: null };
    work.want(name, request);
    return work.look(name, request);
  }

  function complaintsOf(job) {
    const check = seen('check', requests.check(job.text));
    return check.out && ['fresh', 'failed'].includes(check.state)
      ? scenario.complaints(check.out.stderr)
      : null;
  }

  // How the text stands: in order, or its errors with their lines.
  function checked(job) {
    const all = complaintsOf(job);
    if (!all) return dom.el('p', {}, words.checking);
    const errors = all.filter((c) => c.kind === 'error');
    if (!errors.length)
      return dom.el('p', { class: 'good', id: 'checked', 'data-says': true }, words.inOrder);
    return dom.el(
      'div',
      { class: 'stop', id: 'checked', 'data-says': true },
      dom.el('p', {}, words.errors(errors.length)),
      dom.el(
        'ul',
        {},
        errors.map((c) =>
          dom.el(
            'li',
            {},
            c.line ? `${words.line(c.line)}: ` : '',
            c.text,
            c.hint ? ` (${c.hint})` : '',
          ),
        ),
      ),
    );
  }

  function ready(job) {
    const all = complaintsOf(job);
    return !!all && !all.some((c) => c.kind === 'error');
  }

  // The turn-on: as found or as imagined. Nothing is asked of the engine before the text is in
  // order.
  function turnOn(job, imagined) {
    if (!ready(job)) return { state: 'none', out: null };
    return seen(imagined ? 'turn-on imagined' : 'turn-on found', requests.turnOn(job, imagined));
  }

  // What it means, in the engine's words; asked for once its figures are there.
  function meaning(job, imagined) {
    const name = imagined ? 'meaning imagined' : 'meaning found';
    const request = requests.meaning(job, imagined);
    if (turnOn(job, imagined).state === 'fresh') return seen(name, request);
    work.cancel(name, request);
    return work.look(name, request);
  }

  function settled(job, imagined) {
    if (!ready(job)) return { state: 'none', out: null };
    return seen(imagined ? 'settled imagined' : 'settled found', requests.settled(job, imagined));
  }

  function old(state, nodes) {
    return state === 'old'
      ? dom.el('div', { class: 'old' }, dom.el('p', { class: 'mark' }, words.old), nodes)
      : nodes;
  }

  function failed(out) {
    const said = (out.stderr || out.stdout).trim();
    return dom.el(
      'div',
      { class: 'stop', id: 'failed', 'data-says': words.failed },
      dom.el('p', {}, words.failed),
      dom.el('p', {}, said.split('\n').slice(0, 12).join(' ')),
    );
  }

  // What the turn-on says before all else; until it is done that it is not yet known. It is no
  // all-clear before both ends of all that was assumed have been tried.
  function verdict(job, imagined, level = 'h2') {
    const run = turnOn(job, imagined);
    const means = meaning(job, imagined);
    if (run.state === 'failed') return failed(run.out);
    const unknown = (id) =>
      dom.el('p', { class: 'unknown', id: id || 'unknown', 'data-says': true }, words.notYetKnown);
    const partial = dom.el('p', { class: 'mark' }, words.partial);
    if (means.out && ['fresh', 'partial'].includes(means.state)) {
      return [means.state === 'partial' ? partial : null, lead(run.out || means.out, means.out, level)];
    }
    if (run.state === 'fresh') return early(run.out);
    if (run.state === 'partial')
      return [unknown(), partial, run.out.files[FIGURES] ? early(run.out) : null];
    const before = means.out && means.out.stdout ? lead(means.out, means.out, level) : null;
    return before ? [unknown(), old('old', before)] : unknown('verdict');
  }

  function overIn(out) {
    return figures.margins(figures.of(out)).filter((r) => r.verdict === 'over');
  }

  // What is known of a turn-on before its words are there.
  function early(out) {
    const over = overIn(out);
    const [nearest] = figures.margins(figures.of(out));
    return dom.el(
      'div',
      { class: over.length ? 'stop' : 'note', id: 'verdict', 'data-says': true },
      dom.el(
        'p',
        {},
        over.length
          ? words.overTurnOn(list(over))
          : words.noneAsTyped(
              nearest
                ? `${list([nearest])}, ${figures.show(nearest)} of ${figures.limit(nearest)}`
                : '',
            ),
      ),
      dom.el('p', { class: over.length ? null : 'unknown' }, words.endsNotYetKnown),
    );
  }

  function lead(out, means, level) {
    const first = report.one(means.stdout, 'first', level);
    return dom.el(
      'div',
      { class: overIn(out).length ? 'stop' : 'note', id: 'verdict', 'data-says': true },
      first || dom.el('p', {}, words.endsNotYetKnown),
    );
  }

  function list(rows) {
    return rows.map((r) => `${r.subject} ${words.measure(r.measure)}`).join('; ');
  }

  // The largest figures of the sheet: the direct voltages, warm.
  function volts(job, imagined) {
    const run = settled(job, imagined);
    const turn = run.out ? null : turnOn(job, imagined);
    const label = requests.subject(job, imagined).label;
    const rows = run.out
      ? figures.of(run.out)
      : turn && turn.out
        ? figures.of(turn.out, `${label} (warm)`)
        : null;
    if (run.state === 'failed') return failed(run.out);
    if (!rows || !rows.length) return dom.el('p', {}, words.computing);
    const points = figures
      .points(rows, scenario.parse(job.text))
      .filter((p) => !p.alternating && Math.abs(p.dc) > 1);
    return old(
      run.state,
      dom.el(
        'dl',
        {
          class: 'figures',
          id: 'settled',
          'data-says': words.settledAt(points.map((p) => `${p.name} ${quantity.show(p.dc, 'V')}`)),
        },
        points.map((p) =>
          dom.el(
            'div',
            {},
            dom.el('dt', {}, p.name),
            dom.el(
              'dd',
              {},
              quantity.show(p.dc, 'V'),
              dom.el('span', { class: 'small' }, ` ${words.rippleOf(quantity.show(p.ac, 'V'))}`),
            ),
          ),
        ),
      ),
    );
  }

  function margins(job, imagined, count) {
    const run = turnOn(job, imagined);
    const rows = figures.of(run.out);
    if (!rows || run.state === 'failed') return null;
    const list = figures.margins(rows);
    return old(
      run.state,
      dom.table(
        words.margins,
        words.marginHeads,
        list.slice(0, count).map((r) => ({
          class: r.verdict,
          cells: [
            r.subject,
            words.measure(r.measure),
            figures.show(r),
            figures.limit(r),
            `${words.verdicts[r.verdict]}${
              Number.isFinite(figures.used(r)) && r.limit > 0
                ? `, ${Math.round(100 * figures.used(r))} %`
                : ''
            }`,
            words.runOf(r.variant, r.time),
          ],
        })),
      ),
    );
  }

  // A drawing as a picture: what a scenario wrote into it can do nothing there.
  function drawing(job, imagined) {
    if (!ready(job)) return null;
    const narrow = document.documentElement.clientWidth < 700;
    const plain = seen(
      imagined ? 'drawing imagined' : 'drawing found',
      requests.drawing(job, imagined, narrow),
    );
    const turn = work.look(
      imagined ? 'turn-on imagined' : 'turn-on found',
      requests.turnOn(job, imagined),
    );
    let best = plain;
    if (turn.out && turn.state === 'fresh' && turn.out.files[FIGURES]) {
      const full = seen(
        imagined ? 'lettered imagined' : 'lettered found',
        requests.lettered(job, imagined, narrow, turn.out.files[FIGURES]),
      );
      if (full.out && full.state === 'fresh') best = full;
    }
    const text = best.out && best.out.files[requests.path('schematic.svg')];
    if (!text) return best.state === 'failed' ? failed(best.out) : dom.el('p', {}, words.drawing);
    return old(best.state === 'old' ? 'old' : '', picture(text, words.drawingOf));
  }

  const urls = new Map();

  function picture(text, lead) {
    if (!urls.has(text)) {
      if (urls.size > 24) {
        const [oldest, url] = urls.entries().next().value;
        URL.revokeObjectURL(url);
        urls.delete(oldest);
      }
      urls.set(text, URL.createObjectURL(new Blob([text], { type: 'image/svg+xml' })));
    }
    const found = /<desc>([^<]*)<\/desc>/.exec(text);
    const desc = found
      ? found[1].replace(
          /&(lt|gt|quot|apos|amp|#39);/g,
          (e) => ({ '&lt;': '<', '&gt;': '>', '&quot;': '"', '&amp;': '&' })[e] || "'",
        )
      : '';
    const paper = dom.el(
      'div',
      { class: 'paper' },
      dom.el('img', { src: urls.get(text), alt: `${lead} ${desc}` }),
    );
    return dom.el(
      'figure',
      {},
      paper,
      dom.el(
        'figcaption',
        {},
        dom.button('save-drawing', words.saveDrawing, () =>
          dom.save('schematic.svg', text, 'image/svg+xml'),
        ),
      ),
    );
  }

  return {
    seen,
    checked,
    ready,
    complaintsOf,
    turnOn,
    meaning,
    settled,
    verdict,
    volts,
    margins,
    list,
    drawing,
    old,
    failed,
  };
})();

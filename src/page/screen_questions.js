// SPDX-License-Identifier: GPL-3.0-or-later
// The set as questions and as text: two views of one scenario.
'use strict';

const screenQuestions = (() => {
  function answer(q, text) {
    const job = store.get();
    const id = `ask ${q.path.join('.')}`;
    store.drop(id);
    if (text.trim() === q.value) return;
    const next =
      text.trim() === '' && q.whole
        ? scenario.leave(job.text, q.path)
        : scenario.put(job.text, q.path, text.trim());
    store.change(words.did.answer(q.part, q.key), { text: next });
  }

  function inputFor(q) {
    const id = `ask ${q.path.join('.')}`;
    const kind = q.is ? values.kind(q.is) : null;
    const list =
      kind && q.key === 'type' && kind.models.length
        ? dom.el(
            'datalist',
            { id: `models-${q.is.replace(/ /g, '-')}` },
            kind.models.map((m) => dom.el('option', { value: m })),
          )
        : null;
    const input = dom.typed('input', id, q.value, (text) => answer(q, text), {
      type: 'text',
      list: list ? list.id : null,
    });
    return [input, list];
  }

  function fields(list, complaints) {
    return list.map((q) => {
      const [input, models] = inputFor(q);
      const id = `ask-${q.path.join('-').replace(/[^\w-]+/g, '_')}`;
      const wrong = complaints.find((c) => c.line === q.line && c.kind === 'error');
      const where = q.path
        .slice(2, -1)
        .filter((p) => typeof p === 'string' && p !== q.key && p !== 'windings');
      const name = [...where, q.key].join(', ') + (q.number ? ` (${q.number})` : '');
      const takes = values.takes(q.path, q.is);
      const unknowable = /unknown/.test(q.question) || /unknown/.test(takes);
      return dom.el(
        'div',
        { class: 'ask' },
        dom.field(
          id,
          name,
          input,
          takes,
          wrong ? `${wrong.text}${wrong.hint ? ` (${wrong.hint})` : ''}` : '',
        ),
        models,
        unknowable && q.value !== 'unknown'
          ? dom.button(`${id}-unknown`, words.iDoNotKnow, () => answer(q, 'unknown'), {
              'aria-label': `${words.iDoNotKnow}: ${q.part} ${name}`,
            })
          : null,
      );
    });
  }

  function groups(set, complaints) {
    const all = scenario.questions(set);
    const out = [];
    for (const name of [...new Set(all.map((q) => q.part))]) {
      const own = all.filter((q) => q.part === name);
      const body = [];
      let run = [];
      const flush = () => {
        if (!run.length) return;
        const question = run[0].question;
        body.push(
          question
            ? dom.el(
                'div',
                { class: 'question' },
                dom.el('p', {}, question),
                fields(run, complaints),
              )
            : fields(run, complaints),
        );
        run = [];
      };
      for (const q of own) {
        if (run.length && q.question !== run[0].question) flush();
        run.push(q);
      }
      flush();
      out.push(
        dom.el(
          'fieldset',
          { class: 'part' },
          dom.el('legend', {}, words.partName(name, own[0].is)),
          body,
        ),
      );
    }
    return out;
  }

  // The text: what is typed is kept at once and read when the field is left.
  function textOf(job, set, complaints) {
    const draft = job.drafts.text;
    const area = dom.typed(
      'textarea',
      'text',
      job.text,
      (text) => {
        store.drop('text');
        if (text !== store.get().text) store.change(words.did.text, { text });
      },
      { rows: '28', wrap: 'off' },
    );
    const lines = job.text.split('\n');
    const jump = (c) => {
      const at = lines.slice(0, c.line - 1).join('\n').length + (c.line > 1 ? 1 : 0) + c.column - 1;
      area.focus();
      area.setSelectionRange(at, at + 1);
      area.scrollTop = Math.max(0, ((c.line - 6) * area.scrollHeight) / lines.length);
    };
    return dom.el(
      'details',
      { id: 'text-view', open: draft !== undefined || set.broken },
      dom.el('summary', {}, words.theText),
      complaints.length
        ? dom.el(
            'ul',
            { class: 'list' },
            complaints.map((c, i) =>
              dom.el(
                'li',
                { class: c.kind },
                c.line ? dom.button(`line-${i}`, words.line(c.line), () => jump(c)) : null,
                ' ',
                words.kinds[c.kind],
                ': ',
                c.text,
                c.hint ? ` (${c.hint})` : '',
                c.line
                  ? dom.el(
                      'pre',
                      {
                        class: 'columns',
                        tabindex: '0',
                        role: 'region',
                        'aria-label': words.line(c.line),
                      },
                      lines[c.line - 1],
                    )
                  : null,
              ),
            ),
          )
        : null,
      dom.field('text', words.textLabel, area, words.textHint),
    );
  }

  function draw(job) {
    const set = scenario.parse(job.text);
    const complaints = answers.complaintsOf(job) || [];
    if (!answers.complaintsOf(job)) {
      work
        .ask('check', requests.check(job.text))
        .then(() => location.hash.startsWith('#questions') && main.again());
    }
    return [
      main.title(words.titles.questions),
      dom.el('p', {}, words.questionsHint),
      main.live(() => answers.checked(store.get())),
      set.broken ? dom.el('p', {}, words.brokenText) : groups(set, complaints),
      textOf(job, set, complaints),
      dom.el('p', { class: 'acts' }, screenStart.onward(job)),
    ];
  }

  return { draw };
})();

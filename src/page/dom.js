// SPDX-License-Identifier: GPL-3.0-or-later
// Elements made from data. Every text goes in as text: nothing here ever reads markup.
'use strict';

const dom = (() => {
  const SVG = 'http://www.w3.org/2000/svg';

  function fill(node, children) {
    for (const child of children.flat(Infinity)) {
      if (child === null || child === undefined || child === false) continue;
      node.append(child instanceof Node ? child : String(child));
    }
    return node;
  }

  function set(node, props) {
    for (const [name, value] of Object.entries(props || {})) {
      if (value === null || value === undefined || value === false) continue;
      if (typeof value === 'function') node.addEventListener(name, value);
      else if (['value', 'checked', 'open', 'disabled', 'selected'].includes(name))
        node[name] = value;
      else node.setAttribute(name, value === true ? '' : value);
    }
    return node;
  }

  // An element: properties are attributes, functions are listeners of the event of their name.
  function el(tag, props, ...children) {
    const node = document.createElement(tag);
    fill(node, children);
    return set(node, props);
  }

  function svg(tag, props, ...children) {
    return set(fill(document.createElementNS(SVG, tag), children), props);
  }

  // A table: heads is a list of texts, rows of cells (texts, nodes or { cell, class, label }); the
  // first cell of a row is its head. `label` is read aloud where nothing is to be seen. Options:
  // unseen, the caption is only read aloud, since it is above already; classes of the heads.
  function table(caption, heads, rows, options) {
    const cell = (content, at) => {
      const given =
        content &&
        typeof content === 'object' &&
        !(content instanceof Node) &&
        !Array.isArray(content)
          ? content
          : { cell: content };
      const empty = given.cell === '' || given.cell === null || given.cell === undefined;
      return el(
        at ? 'td' : 'th',
        {
          scope: at ? null : 'row',
          role: at ? 'cell' : 'rowheader',
          class:
            [given.class, empty && !given.label ? 'empty' : ''].filter(Boolean).join(' ') || null,
          'data-head': heads[at],
        },
        given.label ? el('span', { class: 'unseen' }, given.label) : given.cell,
      );
    };
    // the roles stay when a narrow screen stacks the cells
    return el(
      'div',
      { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': caption },
      el(
        'table',
        { role: 'table', class: heads.length > 3 ? 'stacks' : null },
        el('caption', { class: options && options.unseen ? 'unseen' : null }, caption),
        heads.some(Boolean)
          ? el(
              'thead',
              { role: 'rowgroup' },
              el(
                'tr',
                { role: 'row' },
                heads.map((h, at) =>
                  h
                    ? el(
                        'th',
                        {
                          scope: 'col',
                          role: 'columnheader',
                          class: (options && options.classes && options.classes[at]) || null,
                        },
                        h,
                      )
                    : el('td', { role: 'cell' }),
                ),
              ),
            )
          : null,
        el(
          'tbody',
          { role: 'rowgroup' },
          rows.map((row) =>
            el('tr', { role: 'row', class: row.class }, (row.cells || row).map(cell)),
          ),
        ),
      ),
    );
  }

  function button(id, text, press, props) {
    return el('button', { id, type: 'button', click: press, ...props }, text);
  }

  // A field of text that may be drawn anew while it is typed into: every letter is kept as a draft,
  // and it is done when it is left, or at the Enter key. A field that is taken away is not left.
  function typed(tag, id, value, done, props) {
    const finish = (e) => {
      if (!replacing && e.target.isConnected && store.get().drafts[id] !== undefined)
        done(e.target.value);
    };
    return el(tag, {
      autocomplete: 'off',
      spellcheck: 'false',
      ...props,
      value: store.get().drafts[id] !== undefined ? store.get().drafts[id] : value,
      input: (e) => store.draft(id, e.target.value),
      blur: finish,
      keydown: tag === 'input' ? (e) => e.key === 'Enter' && finish(e) : null,
    });
  }

  // A label above its field, with a hint and a complaint below that the field names as such.
  function field(id, label, input, hint, complaint) {
    const ids = [hint ? `${id}-hint` : '', complaint ? `${id}-error` : '']
      .filter(Boolean)
      .join(' ');
    input.id = id;
    if (ids) input.setAttribute('aria-describedby', ids);
    if (complaint) input.setAttribute('aria-invalid', 'true');
    return el(
      'div',
      { class: 'field' },
      el('label', { for: id }, label),
      input,
      hint ? el('p', { class: 'hint', id: `${id}-hint` }, hint) : null,
      complaint
        ? el('p', { class: 'error', id: `${id}-error`, 'data-says': true }, complaint)
        : null,
    );
  }

  // One of several answers: options are [value, text, hint].
  function choices(name, legend, options, chosen, pick) {
    return el(
      'fieldset',
      { class: 'choices' },
      el('legend', {}, legend),
      options.map(([value, text, hint]) => {
        const id = `${name}-${value}`;
        return el(
          'div',
          { class: 'choice' },
          el('input', {
            type: 'radio',
            name,
            id,
            value,
            checked: value === chosen,
            change: () => pick(value),
          }),
          el('label', { for: id }, text, hint ? el('span', { class: 'hint' }, ` ${hint}`) : null),
        );
      }),
    );
  }

  function select(id, options, chosen, pick, props) {
    return el(
      'select',
      { id, ...props, change: (e) => pick(e.target.value) },
      options.map((o) => {
        const [value, text] = Array.isArray(o) ? o : [o, o];
        return el('option', { value, selected: value === chosen }, text);
      }),
    );
  }

  // Puts new children into `node`; the element that had the focus gets it back by its id, a link
  // without one by where it leads, and what was unfolded stays so.
  let replacing = false;

  function replace(node, children) {
    const folds = new Map([...node.querySelectorAll('details[id]')].map((d) => [d.id, d.open]));
    const active = node.contains(document.activeElement) ? document.activeElement : null;
    const from = active && 'selectionStart' in active ? active.selectionStart : null;
    const to = from === null ? null : active.selectionEnd;
    replacing = true;
    node.replaceChildren();
    replacing = false;
    fill(node, [children]);
    for (const d of node.querySelectorAll('details[id]'))
      if (folds.has(d.id)) d.open = folds.get(d.id);
    const leads = active && !active.id && active.getAttribute('href');
    const again = leads
      ? [...node.querySelectorAll('a')].find((a) => a.getAttribute('href') === leads)
      : active && active.id && document.getElementById(active.id);
    if (!again) return;
    again.focus({ preventScroll: true });
    if (from !== null && ['text', 'textarea'].includes(again.type))
      again.setSelectionRange(from, to);
  }

  // A file for the reader to keep.
  function save(name, text, type) {
    const url = URL.createObjectURL(new Blob([text], { type: type || 'text/plain' }));
    const link = el('a', { href: url, download: name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  }

  // Says it to who cannot see the page change.
  function say(text) {
    document.getElementById('said').textContent = text;
  }

  return { el, svg, table, button, typed, field, choices, select, replace, save, say };
})();

// SPDX-License-Identifier: GPL-3.0-or-later
// The engine's answers, which it writes as parts of a page of HTML (--html). They never become
// markup here: they are read in a document of their own, and of what is known below a copy is made,
// element by element. Whatever else there should be goes in as its text.
'use strict';

const report = (() => {
  const SETS = { warn: 'stop', note: 'aside' };
  const INLINE = ['code', 'strong'];
  const read = new Map();

  // { lead, sections: [{ kind, heading, nodes }] } of the engine's nodes; the last few are kept.
  function parse(text) {
    if (read.has(text)) return read.get(text);
    const body = new DOMParser().parseFromString(text || '', 'text/html').body;
    const all = { lead: [], sections: [] };
    for (const node of body.children) {
      if (node.localName !== 'section') all.lead.push(node);
      else {
        const [heading, ...nodes] = node.children;
        all.sections.push({ kind: node.className, heading: heading.textContent, nodes });
      }
    }
    if (read.size > 12) read.delete(read.keys().next().value);
    read.set(text, all);
    return all;
  }

  function inline(node) {
    return [...node.childNodes].map((child) =>
      INLINE.includes(child.localName)
        ? dom.el(child.localName, {}, child.textContent)
        : child.textContent,
    );
  }

  function cell(node) {
    if (node.className === 'blank') return { cell: '', class: 'blank', label: words.toFillIn };
    return { cell: node.textContent ? inline(node) : '', class: node.className };
  }

  function table(node, name) {
    const t = node.querySelector('table');
    const heads = [...t.querySelectorAll('thead th, thead td')];
    const rows = [...t.querySelectorAll('tbody tr')].map((row) => ({
      class: row.className,
      cells: [...row.children].map(cell),
    }));
    const caption = t.caption ? t.caption.textContent : name;
    return dom.table(
      caption,
      heads.map((h) => h.textContent),
      rows,
      { unseen: caption === name, classes: heads.map((h) => h.className) },
    );
  }

  // In cautions the topic stands before its sentence.
  function item(node, topics) {
    const found = topics && /^([^:]{2,30}:)( .*)$/.exec(node.textContent);
    return dom.el('li', {}, found ? [dom.el('strong', {}, found[1]), found[2]] : inline(node));
  }

  function copy(nodes, name, below, topics) {
    return nodes.map((node) => {
      switch (node.localName) {
        case 'p':
          return dom.el('p', { class: SETS[node.className] || null }, inline(node));
        case 'ul':
          return dom.el(
            'ul',
            {},
            [...node.children].map((n) => item(n, topics)),
          );
        case 'div':
          return table(node, name);
        case 'pre':
          return dom.el(
            'pre',
            { class: 'columns', tabindex: '0', role: 'region', 'aria-label': name },
            node.textContent,
          );
        case 'h3':
          return dom.el(below, {}, node.textContent);
        default:
          return dom.el('p', {}, node.textContent);
      }
    });
  }

  const BELOW = { h2: 'h3', h3: 'h4', h4: 'h5' };

  function section(s, level) {
    return dom.el(
      'section',
      { class: s.kind || null },
      dom.el(level, {}, s.heading),
      copy(s.nodes, s.heading, BELOW[level], s.kind === 'cautions'),
    );
  }

  // All of it below headings of the given level.
  function show(text, level) {
    const all = parse(text);
    return dom.el(
      'div',
      { class: 'report' },
      copy(all.lead, words.table, BELOW[level]),
      all.sections.map((s) => section(s, level)),
    );
  }

  // The section of a kind: `first`, what to look at before all else, or `cautions`; null where
  // there is none.
  function one(text, kind, level) {
    const found = parse(text).sections.find((s) => s.kind === kind);
    return found ? section(found, level) : null;
  }

  // What stands before the first section, and the sections after it.
  function lead(text) {
    return copy(parse(text).lead, words.table, 'h3');
  }

  function rest(text, level) {
    return parse(text).sections.map((s) => section(s, level));
  }

  // As plain text, the columns of tables under each other.
  function plain(text) {
    const clean = (node) => node.textContent.replace(/\u00a0/g, ' ');
    const lines = (node) => {
      if (node.localName === 'ul') return [...node.children].map((n) => `* ${clean(n)}`);
      if (node.localName !== 'div') return [clean(node)];
      const rows = [...node.querySelectorAll('tr')].map((row) =>
        [...row.children].map((c) => (c.className === 'blank' ? '________' : clean(c))),
      );
      const wide = rows.reduce((w, row) => row.map((c, i) => Math.max(w[i] || 0, c.length)), []);
      return rows.map((row) =>
        row
          .map((c, i) => c.padEnd(wide[i]))
          .join('  ')
          .trimEnd(),
      );
    };
    const all = parse(text);
    return [
      ...all.lead.flatMap(lines),
      ...all.sections.flatMap((s) => ['', s.heading, ...s.nodes.flatMap(lines)]),
      '',
    ].join('\n');
  }

  return { show, one, lead, rest, plain };
})();

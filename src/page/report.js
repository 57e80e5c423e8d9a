// SPDX-License-Identifier: GPL-3.0-or-later
// The engine's reports, written for eighty columns, as headings, sentences, lists and tables. Only
// how lines are set in tells them apart, never their words.
'use strict';

const report = (() => {
  // Where a file was written says nothing here: files are kept by the page.
  const OWN_FILE = /(^|\s)out\/[\w./*-]+$/;
  const GAP = /\S {2,}\S/;

  // { intro: [blocks], sections: [{ heading, blocks }] }; a block is { kind: text, item or table,
  // ... }.
  function read(text) {
    const lines = (text || '').replace(/\s+$/, '').split('\n');
    const sections = [{ heading: '', blocks: [] }];
    let block = null;
    const add = (kind, line) => {
      block = { kind, lines: [line] };
      sections[sections.length - 1].blocks.push(block);
    };
    lines
      .filter((line) => !OWN_FILE.test(line))
      .forEach((line, i, all) => {
        const following = all[i + 1] || '';
        if (!line.trim()) {
          block = null;
        } else if (
          /^\S/.test(line) &&
          /^ {2}/.test(following) &&
          line.length < 79 &&
          (i === 0 || !all[i - 1].trim()) &&
          !GAP.test(line)
        ) {
          sections.push({ heading: line.trim(), blocks: [] });
          block = null;
        } else if (/^ {2,}\* /.test(line)) add('item', line.replace(/^ +\* /, ''));
        else if (GAP.test(line.trim())) {
          if (block && block.kind === 'table') block.lines.push(line);
          else add('table', line);
        } else if (block && block.kind === 'item' && /^ {4}/.test(line))
          block.lines.push(line.trim());
        else if (block && block.kind === 'text') block.lines.push(line.trim());
        else if (block && block.kind === 'table' && /^ {8,}\S/.test(line)) block.lines.push(line);
        else add('text', line.trim());
      });
    return { intro: sections[0].blocks, sections: sections.slice(1) };
  }

  function item(text) {
    const found = /^([A-Z][\w' -]{2,30}): (.*)$/.exec(text);
    return dom.el('li', {}, found ? [dom.el('strong', {}, `${found[1]}:`), ` ${found[2]}`] : text);
  }

  function blocks(list, name) {
    const out = [];
    let items = null;
    for (const b of list) {
      if (b.kind === 'item') {
        if (!items) {
          items = dom.el('ul', {});
          out.push(items);
        }
        items.append(item(b.lines.join(' ')));
        continue;
      }
      items = null;
      if (b.kind === 'table') {
        out.push(
          dom.el(
            'pre',
            { class: 'columns', tabindex: '0', role: 'region', 'aria-label': name },
            b.lines.join('\n'),
          ),
        );
      } else out.push(dom.el('p', {}, b.lines.join(' ')));
    }
    return out;
  }

  // A whole report below headings of the given level.
  function show(text, level) {
    const { intro, sections } = read(text);
    return dom.el(
      'div',
      { class: 'report' },
      blocks(intro, words.table),
      sections.map((s) => [dom.el(level, {}, s.heading), blocks(s.blocks, s.heading)]),
    );
  }

  // The last section that is a list of "Topic: sentence", and what stands before it in that
  // section: the cautions.
  function cautions(text) {
    const { sections } = read(text);
    const found = [...sections]
      .reverse()
      .find(
        (s) =>
          s.blocks.filter((b) => b.kind === 'item' && /^[A-Z][^:]{2,30}: /.test(b.lines[0]))
            .length >= 2,
      );
    return found ? found.blocks : [];
  }

  // What to look at first: the section that leads the report, where that is no table of readings.
  function first(text) {
    const { sections } = read(text);
    const lead = sections[0];
    if (!lead || lead.blocks.some((b) => b.kind === 'table')) return null;
    return lead;
  }

  return { read, show, blocks, cautions, first };
})();

// SPDX-License-Identifier: GPL-3.0-or-later
// What the page must know of a scenario: its parts, variants and line; and small changes of its
// text that leave the rest as it was typed. What a scenario means is the engine's to say.
'use strict';

const scenario = (() => {
  const IMAGINED = 'as imagined on the page';
  const WIRING = [
    'is',
    'across',
    'plates',
    'cathode',
    'cathodes',
    'of',
    'heated by',
    'over',
    'can',
    'short to',
    'lineup',
    'like',
  ];
  let last = null;

  function plain(node) {
    if (YAML.isScalar(node)) return node.value === null ? '' : String(node.value);
    if (YAML.isSeq(node)) return node.items.map(plain);
    if (YAML.isMap(node)) {
      return Object.fromEntries(
        node.items.map((pair) => [String(plain(pair.key)), plain(pair.value)]),
      );
    }
    return '';
  }

  function map(value) {
    return value && typeof value === 'object' && !Array.isArray(value) ? value : {};
  }

  // { doc, title, parts, variants, mains, volts, run, broken }; the last text's is kept.
  function parse(text) {
    if (last && last.text === text) return last;
    const doc = YAML.parseDocument(text, {
      schema: 'failsafe',
      strict: false,
      keepSourceTokens: true,
    });
    const data = map(doc.contents ? plain(doc.contents) : {});
    const parts = Object.entries(map(data.parts))
      .filter(([, keys]) => map(keys).is)
      .map(([name, keys]) => ({ name, is: keys.is, keys }));
    const mains = map(data.mains);
    last = {
      text,
      doc,
      title: typeof data.title === 'string' ? data.title : '',
      parts,
      variants: Object.keys(map(data.variants)),
      raw: map(data.variants),
      mains,
      data,
      volts: quantity.read(mains.voltage || ''),
      reference: data.reference || 'chassis',
      broken: doc.errors.length > 0,
    };
    return last;
  }

  function part(set, name) {
    return set.parts.find((p) => p.name === name);
  }

  // The parts as a variant leaves them, for the words that stand in a sentence.
  function value(set, variant, name, key) {
    const seen = new Set();
    for (let v = variant; v && set.raw[v] && !seen.has(v); v = set.raw[v]['based on']) {
      seen.add(v);
      const laid = map(map(set.raw[v])[name])[key];
      if (typeof laid === 'string') return laid;
    }
    if (name === 'mains') return set.mains[key] || '';
    const found = part(set, name);
    return found && typeof found.keys[key] === 'string' ? found.keys[key] : '';
  }

  // The text with one more variant that holds the changes, based on `variant`.
  function imagined(text, variant, changes) {
    const doc = YAML.parseDocument(text, { schema: 'failsafe' });
    const laid = variant ? { 'based on': variant } : {};
    for (const { part: name, key, to } of changes) laid[name] = { ...laid[name], [key]: to };
    if (!doc.hasIn(['variants']) || !YAML.isMap(doc.getIn(['variants'])))
      doc.set('variants', doc.createNode({}));
    doc.setIn(['variants', IMAGINED], doc.createNode(laid));
    return doc.toString({ lineWidth: 0 });
  }

  function quoted(value) {
    return new YAML.Document(value, { schema: 'core' }).toString({ lineWidth: 0 }).trim();
  }

  // The text with the scalar at `path` (keys and numbers of items) set to `value`; all else stays.
  function put(text, path, value) {
    const doc = YAML.parseDocument(text, { schema: 'failsafe' });
    const node = doc.getIn(path, true);
    const written =
      /^[\w.][^#:]*$/.test(value) && !/[{}[\],&*!|>'"%@`]/.test(value) ? value : quoted(value);
    if (!YAML.isScalar(node) || !node.range) return text;
    const lead = node.range[0] === node.range[1] ? ' ' : '';
    return text.slice(0, node.range[0]) + lead + written + text.slice(node.range[1]);
  }

  // The text without the line of the key at `path`.
  function leave(text, path) {
    const doc = YAML.parseDocument(text, { schema: 'failsafe' });
    const node = doc.getIn(path, true);
    if (!node || !node.range) return text;
    const from = text.lastIndexOf('\n', node.range[0]) + 1;
    const to = text.indexOf('\n', node.range[1]);
    return text.slice(0, from) + (to < 0 ? '' : text.slice(to + 1));
  }

  function lineOf(text, at) {
    return text.slice(0, at).split('\n').length;
  }

  function comment(text) {
    return (text || '')
      .split('\n')
      .map((l) => l.trim())
      .join(' ')
      .trim();
  }

  // The questions of a scenario, in its order: { part, is, key, path, value, question, line, whole
  // } for each value that is no wiring; `whole`: the key has a line of its own and may be left out.
  function questions(set) {
    const found = [];
    function leaf(node, context) {
      found.push({ ...context, value: plain(node), line: lineOf(set.text, node.range[0]) });
    }
    function walk(node, context, above) {
      let asked = comment(above);
      node.items.forEach((pair, i) => {
        const key = String(plain(pair.key));
        const own = comment(pair.key.commentBefore) || (i === 0 ? comment(node.commentBefore) : '');
        if (own) asked = own;
        const path = [...context.path, key];
        const next = {
          ...context,
          key,
          path,
          question: own || (WIRING.includes(key) ? '' : asked),
          own: !!own,
          whole: true,
        };
        if (context.path.length === 1 && context.path[0] === 'parts') {
          next.part = key;
          next.is = YAML.isMap(pair.value) ? String(pair.value.get('is') || '') : '';
        }
        if (WIRING.includes(key) && !own) return;
        if (WIRING.includes(key) && key !== 'heated by' && key !== 'like') return;
        if (YAML.isScalar(pair.value)) leaf(pair.value, next);
        else if (YAML.isSeq(pair.value)) {
          pair.value.items.forEach((item, n) => {
            if (YAML.isScalar(item)) {
              leaf(item, { ...next, path: [...path, n], number: n + 1, whole: false });
            }
          });
        } else if (YAML.isMap(pair.value)) walk(pair.value, next, own);
      });
    }
    const root = set.doc.contents;
    if (!YAML.isMap(root)) return found;
    for (const name of ['title', 'mains', 'parts', 'chart']) {
      const pair = root.items.find((p) => String(plain(p.key)) === name);
      if (!pair) continue;
      const context = {
        part: name,
        is: '',
        path: [name],
        question: comment(pair.key.commentBefore),
      };
      if (YAML.isMap(pair.value)) walk(pair.value, { ...context, path: [name] }, context.question);
      else if (YAML.isScalar(pair.value)) {
        leaf(pair.value, { ...context, key: name, path: [name], whole: false });
      }
    }
    return found;
  }

  // "FILE:LINE:COLUMN: error: ..." and what follows, as { line, column, kind, text, hint }.
  function complaints(text) {
    const all = [];
    for (const line of (text || '').split('\n')) {
      const found = /^(?:.*?):(\d+):(\d+): (error|warning|note): (.*)$/.exec(line);
      const general = /^(?:.*?: )?(error): (.*)$/.exec(line);
      if (found) {
        all.push({
          line: Number(found[1]),
          column: Number(found[2]),
          kind: found[3],
          text: found[4],
          hint: '',
        });
      } else if (/^\s+hint: /.test(line) && all.length) {
        all[all.length - 1].hint = line.replace(/^\s+hint: /, '');
      } else if (general)
        all.push({ line: 0, column: 0, kind: 'error', text: general[2], hint: '' });
    }
    return all;
  }

  // Whether the chassis must be taken as live: said so, not known, or nothing in the set isolates
  // it.
  function live(job) {
    const set = job.text ? parse(job.text) : null;
    return (
      ['no', 'unknown'].includes(job.transformer) ||
      (!!set && set.parts.length > 0 && !set.parts.some((p) => p.is === 'power transformer'))
    );
  }

  return { IMAGINED, live, parse, part, value, imagined, put, leave, questions, complaints };
})();

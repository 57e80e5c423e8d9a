// SPDX-License-Identifier: GPL-3.0-or-later
// What the page asks of the engine, as command lines over files.
'use strict';

const requests = (() => {
  const FILE = 'set.yaml';
  const OUT = 'out';
  const READINGS = 'readings.yaml';
  const FORM = 'form.yaml';

  const BACKGROUND = { lane: 'background' };

  function path(name) {
    return `${OUT}/${name}`;
  }

  // The variant that runs and the text that holds it: as found, or with the changes laid over.
  function subject(job, imagined) {
    if (!imagined || !job.changes.length) {
      return { text: job.text, variant: job.variant, label: job.variant || 'base' };
    }
    const set = scenario.parse(job.text);
    const text = scenario.imagined(set.text, job.variant, job.changes);
    return { text, variant: scenario.IMAGINED, label: scenario.IMAGINED };
  }

  function command(name, job, imagined, more, options) {
    const s = subject(job, imagined);
    const { file = FILE, files, lane = 'asked' } = options || {};
    return {
      lane,
      files: { [file]: s.text, ...files },
      args: [name, file, ...more, '--out', OUT, ...(s.variant ? ['--variant', s.variant] : [])],
    };
  }

  function volts(job, imagined) {
    const set = scenario.parse(job.text);
    const changed = imagined && job.changes.find((c) => c.part === 'mains' && c.key === 'voltage');
    return changed ? changed.to : scenario.value(set, job.variant, 'mains', 'voltage');
  }

  return {
    FILE,
    FORM,
    path,
    subject,
    volts,
    check: (text) => ({ lane: 'asked', files: { [FILE]: text }, args: ['check', FILE] }),
    kind: (name) => ({ lane: 'asked', files: {}, args: ['parts', name] }),
    forms: () => ({ lane: 'asked', files: {}, args: ['new'] }),
    // the engine hands out what lies in its folder, which must be there to write into
    form: (kind) => ({
      lane: 'asked',
      files: { [path('note')]: '' },
      args: ['new', kind, path(FORM)],
    }),
    schema: () => ({ lane: 'asked', files: {}, args: ['schema'] }),
    help: () => ({ lane: 'asked', files: {}, args: ['--help'] }),
    // The warm set at once, without the start from cold: one value tried, the one that it has; of a set
    // without line volts the room's.
    settled: (job, imagined) => {
      const line = volts(job, imagined);
      const room = scenario.value(scenario.parse(job.text), job.variant, 'run', 'ambient');
      return command('try', job, imagined, [
        line ? `mains.voltage=${line}` : `run.ambient=${room || '25 C'}`,
        '--no-plots',
        '--quiet',
      ]);
    },
    // The start from cold: its figures and curves, then what they mean, with both ends of all that was
    // assumed.
    turnOn: (job, imagined) =>
      command('switch-on', job, imagined, ['--no-plots', '--quiet'], { lane: 'turn-on' }),
    meaning: (job, imagined) =>
      command('switch-on', job, imagined, ['--no-plots', '--full', '--html'], BACKGROUND),
    drawing: (job, imagined, narrow) =>
      command('schematic', job, imagined, ['--without-voltages', ...(narrow ? ['--narrow'] : [])]),
    // With the voltages of a turn-on that is there already.
    lettered: (job, imagined, narrow, ready) =>
      command('schematic', job, imagined, narrow ? ['--narrow'] : [], {
        ...BACKGROUND,
        files: { [path('figures.csv')]: ready },
      }),
    sheet: (name, job, imagined) =>
      command(name, job, imagined, ['--cautions', '--html'], {
        lane: ['bench-sheet', 'tolerances'].includes(name) ? 'long' : 'asked',
      }),
    lesson: (job, { level, pupils, seed }) =>
      command(
        'exercise',
        job,
        false,
        ['--level', level, '--pupils', pupils, '--seed', seed, '--html'],
        { lane: 'long' },
      ),
    // it says what file it was made from
    report: (job, imagined, more) =>
      command('report', job, imagined, more, {
        file: /^\w[\w .-]*\.ya?ml$/.test(job.name) ? job.name : FILE,
      }),
    pictures: (job, imagined) => command('switch-on', job, imagined, []),
    diagnose: (job, readings) =>
      command('diagnose', job, false, ['--readings', READINGS, '--no-plots', '--cautions', '--html'], {
        lane: 'long',
        files: { [READINGS]: readings },
      }),
  };
})();

// SPDX-License-Identifier: GPL-3.0-or-later
// What the page asks of the engine, as command lines over files.
'use strict';

const requests = (() => {
  const FILE = 'set.yaml';
  const OUT = 'out';
  const READINGS = 'readings.yaml';
  const FORM = 'form.yaml';

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
    return {
      background: !!(options && options.background),
      files: { [FILE]: s.text, ...(options && options.files) },
      args: [name, FILE, ...more, '--out', OUT, ...(s.variant ? ['--variant', s.variant] : [])],
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
    check: (text) => ({ background: false, files: { [FILE]: text }, args: ['check', FILE] }),
    kind: (name) => ({ background: false, files: {}, args: ['parts', name] }),
    forms: () => ({ background: false, files: {}, args: ['new'] }),
    // the engine hands out what lies in its folder, which must be there to write into
    form: (kind) => ({
      background: false,
      files: { [path('note')]: '' },
      args: ['new', kind, path(FORM)],
    }),
    help: () => ({ background: false, files: {}, args: ['--help'] }),
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
    turnOn: (job, imagined) =>
      command('switch-on', job, imagined, ['--no-plots', '--full'], { background: true }),
    drawing: (job, imagined, narrow) =>
      command('schematic', job, imagined, ['--without-voltages', ...(narrow ? ['--narrow'] : [])]),
    // With the voltages of a turn-on that is there already.
    lettered: (job, imagined, narrow, ready) =>
      command('schematic', job, imagined, narrow ? ['--narrow'] : [], {
        background: true,
        files: { [path('figures.csv')]: ready },
      }),
    study: (name, job, imagined, more) =>
      command(name, job, imagined, more || [], { background: true }),
    asked: (name, job, imagined) => command(name, job, imagined, ['--cautions']),
    report: (job, imagined, more) => command('report', job, imagined, more),
    pictures: (job, imagined) => command('switch-on', job, imagined, []),
    diagnose: (job, readings) =>
      command('diagnose', job, false, ['--readings', READINGS, '--no-plots'], {
        files: { [READINGS]: readings },
      }),
  };
})();

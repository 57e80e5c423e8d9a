// SPDX-License-Identifier: GPL-3.0-or-later
// Values as a bench writes them: three figures and a unit.
'use strict';

const quantity = (() => {
  const PREFIXES = [
    [1e6, 'M'],
    [1e3, 'k'],
    [1, ''],
    [1e-3, 'm'],
    [1e-6, 'u'],
    [1e-9, 'n'],
    [1e-12, 'p'],
  ];
  const FACTORS = { M: 1e6, k: 1e3, '': 1, m: 1e-3, u: 1e-6, n: 1e-9, p: 1e-12 };
  const NO_KILO = ['V', 'degC', 'Hz', ''];
  const NO_MILLI = ['ohm', 'degC', 'C', ''];

  function three(value) {
    const digits = Number(value.toPrecision(3));
    return Math.abs(digits) >= 1000 ? String(Math.round(digits)) : String(digits);
  }

  // 0.0124 A -> "12.4 mA". A value that is no number gives its words.
  function show(value, unit) {
    if (value === null || value === undefined || Number.isNaN(value)) return words.unknown;
    if (!Number.isFinite(value)) return unit === 's' ? words.never : words.unlimited;
    if (unit === 'degC') return `${three(value)}\u00a0°C`;
    if (value === 0) return `0\u00a0${unit}`.trim();
    const size = Math.abs(value);
    if (unit === 'V' && size < 0.001) return '0\u00a0V';
    if (unit === 's' && size >= 90) return `${three(value / 60)}\u00a0min`;
    if (unit === 'F' && size > 0.9995e-9) return `${three(value * 1e6)}\u00a0uF`;
    const [factor, prefix] = PREFIXES.find(
      ([f]) =>
        size >= 0.9995 * f &&
        !(f > 1 && NO_KILO.includes(unit)) &&
        !(f < 1 && (NO_MILLI.includes(unit) || (unit === 'V' && size >= 0.1))),
    ) || [1, ''];
    return `${three(value / factor)}\u00a0${prefix}${unit}`.trim();
  }

  // "8 uF" -> { value: 8e-6, unit: 'F' }; null where it is none.
  function read(text) {
    const found =
      /^\s*([-+]?\d*\.?\d+(?:e[-+]?\d+)?)\s*([Mkmunpµ]?)(F|ohm|H|V|A|W|s|Hz|%|C)\b/i.exec(
        String(text),
      );
    if (!found) return null;
    const prefix = found[2] === 'µ' ? 'u' : found[2];
    return { value: Number(found[1]) * FACTORS[prefix], unit: found[3] };
  }

  // A value as the engine reads it, in full.
  function write(value, unit) {
    if (unit === 'F' && Math.abs(value) > 0.9999e-9)
      return `${Number((value * 1e6).toPrecision(6))} uF`;
    const [factor, prefix] = PREFIXES.find(
      ([f]) => Math.abs(value) >= 0.9999 * f && !(f > 1 && NO_KILO.includes(unit)),
    ) || [1, ''];
    return `${Number((value / factor).toPrecision(6))} ${prefix}${unit}`;
  }

  return { show, read, write };
})();

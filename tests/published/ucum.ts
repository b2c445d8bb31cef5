/** Works out a code of the Unified Code for Units of Measure from a table of definitions: as much of it as our codes use. */
import { cell, type Row } from './rows.ts';

/** Prefixes the codes use. */
const PREFIXES: Readonly<Record<string, number>> = {
  k: 1e3,
  h: 1e2,
  d: 1e-1,
  c: 1e-2,
  m: 1e-3,
  u: 1e-6,
  n: 1e-9,
};

/** Base units, each one of itself; a code is worked out to a number of these, whatever they are. */
const BASES = new Set(['m', 'g', 's']);

/** A curly note, a bracketed part, a stroke or dot, a name in square brackets or letters with an exponent, or a number. */
const TOKEN = /\{[^}]*\}|[()./]|(?:\[[^\]]*\]|[A-Za-z%]+)(-?[0-9]+)?|[0-9]+/gu;

/**
 * The size of a code in base units: `g/(100.kg)` is 1e-5.
 *
 * @throws Error for a code that the definitions do not lead to.
 */
export function ucumFactor(code: string, definitions: readonly Row[]): number {
  const tokens = [...code.matchAll(TOKEN)];
  if (tokens.map(([token]) => token).join('') !== code) throw new Error(`unread code ${code}`);
  let place = 0;

  /** A product and quotient from the left, up to a closing bracket or the end. */
  function product(): number {
    let value = 1;
    let divide = false;
    for (;;) {
      const match = tokens[place];
      const token = match?.[0];
      if (match === undefined || token === undefined || token === ')') return value;
      place += 1;
      if (token.startsWith('{')) continue;
      if (token === '/' || token === '.') {
        divide = token === '/';
        continue;
      }
      const factor = token === '(' ? bracketed() : sizeOf(token, match[1]);
      value = divide ? value / factor : value * factor;
      divide = false;
    }
  }

  function bracketed(): number {
    const value = product();
    place += 1;
    return value;
  }

  function sizeOf(token: string, exponent: string | undefined): number {
    if (/^[0-9]+$/u.test(token)) return Number(token);
    const name = exponent === undefined ? token : token.slice(0, -exponent.length);
    return atom(name) ** Number(exponent ?? 1);
  }

  function atom(name: string): number {
    if (BASES.has(name)) return 1;
    const row = definitions.find((each) => each.code === name);
    if (row !== undefined) return Number(cell(row, 'value')) * ucumFactor(cell(row, 'unit'), definitions);
    const prefix = PREFIXES[name.slice(0, 1)];
    if (prefix === undefined || name.length < 2) throw new Error(`no definition of ${name}`);
    return prefix * atom(name.slice(1));
  }

  return product();
}

/** The short way of reading rows gives what the grammar gives, or leaves the line to it. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readByGrammar, readShortWay } from '../../grammar/read.ts';

const name = fc.constantFrom(
  'B1',
  'FB-01',
  'T_2',
  'rack',
  'to',
  'tag',
  'all',
  'now',
  'x2',
  'a/b',
  'struck',
  'B1-',
  'é1',
);
const cell = fc.oneof(
  fc.constantFrom(
    '-',
    '24.6',
    '-1.3',
    '16',
    '0.998',
    '16.',
    '.5',
    '~3',
    '<0.1',
    '24,6',
    '16C',
    '16 C',
    '1e3',
    '+2',
    '--',
    'x',
    '12x750',
  ),
  fc.double({ min: -5, max: 40, noNaN: true }).map((value) => value.toFixed(1)),
);
const tail = fc.constantFrom('', ' ', ' -- float broke', ' --', ' --x', ' # c', ' -- naïve', ' — dash', ',');

describe('a row of figures by the short way', () => {
  it('is what the grammar gives', () => {
    let taken = 0;
    fc.assert(
      fc.property(
        fc.constantFrom('', '   ', '\t'),
        name,
        fc.array(cell, { maxLength: 4 }),
        fc.constantFrom(' ', '   '),
        tail,
        (indent, first, cells, blank, end) => {
          const text = indent + [first, ...cells].join(blank) + end;
          const short = readShortWay(text);
          if (short === undefined) return;
          taken++;
          expect(short).toEqual(readByGrammar(text));
        },
      ),
      { numRuns: 3000 },
    );
    expect(taken).toBeGreaterThan(50);
  });
});

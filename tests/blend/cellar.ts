/** Wines made up for tests of blends, and the solver they are blended by. */
import type { Asked } from '../../src/blend/asked.ts';
import type { Part, PartFigure } from '../../src/blend/available.ts';
import { loadSolver } from '../../src/blend/solver.ts';
import { makeBook } from '../../src/cellar/make-book.ts';
import { checkJournal } from '../../src/checks/check-journal.ts';
import { solverBytes } from '../../src/cli/solver-file.ts';

export const bookOf = (text: string, on?: number) => makeBook([{ path: 'a.cellar', text }], on, checkJournal);

export const SETTINGS = bookOf('vessel T1 tank 1200 L\n').settings;

export const solve = await loadSolver(solverBytes());

/** A vessel with its litres and figures; every figure is a reading of its own. */
export function part(name: string, litres: number, figures: Readonly<Record<string, number>>, lot = name): Part {
  const known = Object.entries(figures).map(([analyte, value]): [string, PartFigure] => [
    analyte,
    { value, uncertainty: 0.1, day: 20_000, said: 'read', reading: `${name} ${analyte}`, since: [] },
  ]);
  return {
    name,
    lot,
    litres,
    estimated: false,
    doubtful: false,
    figures: new Map(known),
    origins: [{ origin: { id: 0, variety: lot, colour: 'red', vintage: 2026, estate: false }, litres }],
  };
}

/** A question with nothing asked but what stands here. */
export function asking(parts: readonly Part[], more: Partial<Asked>): Asked {
  return {
    make: undefined,
    lees: 0,
    loss: 0,
    from: parts.map(({ name }) => name),
    limits: [],
    whole: [],
    keeps: [],
    shares: [],
    aim: { kind: 'fewest' },
    step: 1,
    ...more,
  };
}

/** What tests of calculations need: an example run as the command line would run it, figures and refusals taken apart. */
import type { Answer, Calculation } from '../../src/trade/calculations/calculation.ts';
import { asksWord, readFigure, readWord } from '../../src/trade/calculations/read-input.ts';
import { isRefused, type Worked } from '../../src/trade/worked.ts';

/** The figure, or a failure that says why there is none. */
export function number(worked: Worked | undefined): number {
  if (typeof worked !== 'number') throw new Error(worked?.refused ?? 'nothing worked out');
  return worked;
}

/** Why there is no figure, or a failure where there is one. */
export function refusal(worked: Worked<unknown> | undefined): string {
  if (!isRefused(worked)) throw new Error(`not refused: ${JSON.stringify(worked)}`);
  return worked.refused;
}

/** The answer to inputs written as on the command line: `--brix 24 --yan 140 mg/L`. */
export function work(calculation: Calculation, written: string): Answer {
  const figures: Record<string, number> = {};
  const words: Record<string, string> = {};
  for (const [, name = '', quoted, plain = ''] of written.matchAll(/--([a-z0-9-]+) (?:"([^"]*)"|(.*?))(?= --|$)/gu)) {
    const input = calculation.inputs.find((each) => each.name === name);
    if (input === undefined) throw new Error(`${calculation.name} has no --${name}`);
    const said = quoted ?? plain;
    const read = asksWord(input) ? readWord(input, said) : readFigure(input, said);
    if (isRefused(read)) throw new Error(read.refused);
    if (typeof read === 'number') figures[name] = read;
    else words[name] = read;
  }
  for (const { name, usual, choices } of calculation.inputs) {
    if (usual !== undefined) figures[name] ??= usual;
    const [first] = choices ?? [];
    if (first !== undefined) words[name] ??= first;
  }
  const answer = calculation.work({ figures, words });
  if (isRefused(answer)) throw new Error(answer.refused);
  return answer;
}

/** As `work`, for the calculation of a list that has the name. */
export function answerOf(calculations: readonly Calculation[], name: string, written: string): Answer {
  const calculation = calculations.find((each) => each.name === name);
  if (calculation === undefined) throw new Error(`no calculation ${name}`);
  return work(calculation, written);
}

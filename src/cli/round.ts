/** `ullage round FOLDER`: the readings that are due as lines of a journal, with dashes to be filled in. */

import { roundJson } from '../report/crew-sheets/round-json.ts';
import { roundText } from '../report/crew-sheets/round-text.ts';
import { isoDay } from '../report/dates.ts';
import { appendEntries } from './append-entries.ts';
import { type CrewOptions, contextIn, endOf, orderedBy, refuse } from './crew-order.ts';
import { visible } from './show.ts';

export interface RoundOptions extends CrewOptions {
  readonly format: 'text' | 'json';
  /** The time of the round, `07:00`, or nothing. */
  readonly at: string | undefined;
  /** A file of the journal to put it at the end of. */
  readonly into: string | undefined;
}

/** 0 printed, 1 printed with errors in the journal, 2 wrong usage, or something that cannot be read or written. */
export function round(folder: string, options: RoundOptions): number {
  const { format, at = '', into } = options;
  if (format === 'json' && into !== undefined)
    return refuse('--into takes lines of a journal: leave out --format json');
  const context = contextIn(folder, options.on);
  if (context === undefined) return 2;
  const order = orderedBy(context, 'round', options);
  if (order === undefined) return 2;
  if (format === 'json') {
    process.stdout.write(`${JSON.stringify(roundJson(context, order, at), null, 2)}\n`);
    return endOf(context);
  }
  const text = roundText(context, order, at);
  if (text === '') process.stderr.write(`no reading is due on ${isoDay(order.on)}\n`);
  else if (into === undefined) process.stdout.write(text);
  else {
    const why = appendEntries(into, folder, text);
    if (why !== undefined) return refuse(`${visible(into)} was not written: ${why}`);
    process.stdout.write(`${visible(into)}: the round of ${isoDay(order.on)} stands at its end\n`);
  }
  return endOf(context);
}

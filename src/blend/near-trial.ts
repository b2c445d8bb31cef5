/** The aim of coming near to a row of a bench trial, by the shares of its lots. */
import { nearest } from '../../grammar/suggest.ts';
import { fold } from '../../grammar/words.ts';
import type { Book } from '../cellar/book.ts';
import type { Target } from '../journal/events.ts';
import { trialNamed, trialsOf } from '../report/trials.ts';
import { refuse, type Worked } from '../trade/worked.ts';
import type { Aim } from './asked.ts';

const lotOf = (book: Book, target: Target): string | undefined => {
  const lot =
    target.kind === 'lot' ? target.lot : target.kind === 'vessel' ? book.vessels[target.vessel]?.lot : undefined;
  return lot === undefined ? undefined : book.lots[lot]?.facts.name;
};

/** `E-4 B` is row B of trial E-4; `E-4` alone is the row that was chosen. */
export function nearTrial(book: Book, text: string): Worked<Aim> {
  const typed = text.trim();
  const at = typed.lastIndexOf(' ');
  const whole = trialNamed(book, typed);
  const trial = whole ?? (at < 0 ? undefined : trialNamed(book, typed.slice(0, at).trim()));
  if (trial === undefined) {
    const names = trialsOf(book).map(({ said }) => said.name);
    const near = nearest(at < 0 ? typed : typed.slice(0, at), names);
    return refuse(`there is no trial \`${typed}\`${near === undefined ? '' : `; did you mean \`${near}\`?`}`);
  }
  const { said } = trial;
  const wanted = fold(typed.slice(at + 1));
  const row =
    whole === undefined
      ? said.rows.find(({ name }) => fold(name) === wanted)
      : said.chosen === undefined
        ? undefined
        : said.rows[said.chosen];
  if (row === undefined)
    return refuse(
      whole === undefined
        ? `trial ${said.name} has no row \`${typed.slice(at + 1)}\`: it has ${said.rows.map(({ name }) => name).join(', ')}`
        : `no row of trial ${said.name} is chosen: name one, \`--near "${said.name} ${said.rows[0]?.name ?? 'B'}"\``,
    );
  if (row.parts.length === 0) return refuse(`row ${row.name} of trial ${said.name} is no blend`);
  const shares = new Map<string, number>();
  for (const { target, name, share } of row.parts) {
    const lot = lotOf(book, target);
    if (lot === undefined) return refuse(`\`${name}\` of trial ${said.name} holds nothing any more`);
    shares.set(lot, (shares.get(lot) ?? 0) + share / 1e6);
  }
  return { kind: 'near', shares, name: `${said.name} ${row.name}` };
}

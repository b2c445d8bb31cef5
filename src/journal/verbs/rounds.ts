/** Standing facts of rounds: in which order the cellar is walked, and what the columns of tables from outside mean. */
import type { Part, Word } from '../../../grammar/entries.ts';
import { fold } from '../../../grammar/words.ts';
import { type ColumnMeaning, columnMeaning, sameMeaning } from '../csv-columns.ts';
import type { VesselId } from '../events.ts';
import { type Line, textOf } from '../line.ts';
import type { VerbReader } from './reader.ts';

const NONE: readonly never[] = [];

const isText = (part: Part | undefined): part is Word => part?.type === 'word' || part?.type === 'string';

/** The place where vessels stand, as they were declared with it; undefined where none does. */
function placeNamed(line: Line, text: string): string | undefined {
  const wanted = fold(text);
  return line.register.vessels.find(({ at }) => at !== undefined && fold(at) === wanted)?.at;
}

export const walk: VerbReader = (line) => {
  const order: (VesselId | string)[] = [];
  for (const item of line.entry.head) {
    const [part, further] = item.parts;
    if (further !== undefined) {
      line.fail({
        start: further.start,
        end: item.end,
        code: 'word-stray',
        message: `\`${textOf(further)}\` stands behind a vessel`,
        help: 'put commas between the vessels: `walk T1..T9, B1..B20`',
      });
      return NONE;
    }
    const place = isText(part) && part.to === undefined ? placeNamed(line, part.text) : undefined;
    if (place !== undefined) {
      order.push(place);
      continue;
    }
    const targets = line.targets(part);
    if (targets === undefined) return NONE;
    for (const target of targets) {
      if (target.kind === 'vessel') order.push(target.vessel);
      else line.wrongKind({ ...part, text: textOf(part) }, 'lot', 'a vessel');
    }
  }
  if (line.failure === undefined) line.register.settings.walk = order;
  return NONE;
};

export const columns: VerbReader = (line) => {
  const { settings } = line.register;
  const said = new Map<string, ColumnMeaning>();
  for (const item of line.entry.head) {
    const [heading, ...rest] = item.parts;
    if (heading.type !== 'string') {
      line.fail({
        start: heading.start,
        end: heading.end,
        code: 'word-stray',
        message: 'a heading stands in quotes, as it stands in the table',
        help: 'for example `columns "Tank" vessel, "Brix" brix`',
      });
      return NONE;
    }
    const meaning = columnMeaning(rest.map(textOf));
    if ('problem' in meaning) {
      line.fail({
        start: rest[0]?.start ?? item.start,
        end: item.end,
        code: 'word-stray',
        message: `"${heading.text}": ${meaning.problem}`,
        help: meaning.help,
      });
      return NONE;
    }
    const folded = fold(heading.text.trim());
    const before = said.get(folded);
    if (before !== undefined && !sameMeaning(before, meaning)) {
      line.fail({
        start: heading.start,
        end: item.end,
        code: 'word-stray',
        message: `"${heading.text}" stands here twice, and means two things`,
        help: 'keep the one that is right',
      });
      return NONE;
    }
    said.set(folded, meaning);
  }
  settings.columns = new Map([...(settings.columns ?? []), ...said]);
  return NONE;
};

/** Must and wine: additions, cap work, movements, bottling. */
import { findUnit } from '../../../grammar/units.ts';
import type { VerbWord } from '../../../grammar/words.ts';
import type { Add, CapWork, Mutable, Target, Top, Work } from '../events.ts';
import { type Line, sayPart } from '../line.ts';
import { readAim } from '../measures.ts';
import { styleOf } from './fruit.ts';
import { additions, apart, bottleList, ends, named } from './parts.ts';
import type { VerbReader } from './reader.ts';

const NONE: readonly Target[] = [];

const except = (line: Line): Target[] => line.allTargets(line.items('except'));

export const add: VerbReader = (line, below) => {
  const adds = line.entry.verb === 'add';
  const materials = adds ? line.entry.head : line.items('with');
  const places = adds ? line.items('to') : line.entry.head;
  const targets = line.allTargets(places);
  const found = additions(line, materials);
  if (line.entry.verb === 'inoculate') {
    for (const [i, addition] of found.entries()) {
      const facts = line.register.materials[addition.material];
      const part = materials[i]?.parts[0];
      if (facts === undefined || part === undefined || facts.kind === 'yeast' || facts.kind === 'bacteria') continue;
      line.fail({
        start: part.start,
        end: part.end,
        code: 'name-wrong-kind',
        message: `\`${facts.name}\` is ${facts.kind === 'acid' || facts.kind === 'enzyme' || facts.kind === 'oak' ? 'an' : 'a'} ${facts.kind}, not a yeast nor bacteria`,
        help: `name the yeast, or write \`add ${facts.name} ... to ...\``,
      });
    }
  }
  const water = line.given('in');
  const batch = line.words('batch');
  const event: Mutable<Add> = line.event<Add>(below.note, {
    kind: 'add',
    targets,
    except: line.has('except') ? except(line) : NONE,
    additions: found,
  });
  const aim = adds ? readAim(line, line.items('for')) : undefined;
  if (aim !== undefined) event.aim = aim;
  if (water !== undefined) event.water = water;
  if (batch !== undefined) event.batch = batch;
  return [event];
};

export const cap: VerbReader = (line, below) => {
  let times = 1;
  let minutes: number | undefined;
  let moved: number | undefined;
  for (const item of line.entry.head) {
    for (const part of item.parts) {
      if (part.type !== 'amount') continue;
      const dimension = part.unit === undefined ? 'count' : findUnit(part.unit)?.dimension;
      if (dimension === 'count') times = Math.max(1, Math.round(part.value));
      else if (dimension === 'duration') minutes = Math.round(line.base(part) / 60);
      else if (dimension === 'volume') moved = line.base(part);
    }
  }
  const event: Mutable<CapWork> = line.event<CapWork>(below.note, {
    kind: 'cap',
    targets: line.allTargets(line.entry.head),
    except: line.has('except') ? except(line) : NONE,
    times,
    aerated: line.has('aerated') || line.entry.verb === 'rack-and-return',
  });
  if (minutes === undefined && event.until !== undefined) minutes = event.until - event.minute;
  if (minutes !== undefined) event.minutes = minutes;
  if (moved !== undefined) event.moved = moved;
  return [event];
};

/** Works on vessels that leave volumes alone: what was said is kept in words. */
export const work: VerbReader = (line, below) => {
  const details: string[] = [];
  for (const item of line.entry.head) {
    for (const part of item.parts) if (part.type === 'amount') details.push(sayPart(part));
  }
  for (const word of ['to', 'with', 'until'] as const) {
    const said = line.words(word);
    if (said !== undefined) details.push(`${word} ${said}`);
  }
  return [
    line.event<Work>(below.note, {
      kind: 'work',
      targets: line.allTargets(line.entry.head),
      except: line.has('except') ? except(line) : NONE,
      details: details.join(' '),
    }),
  ];
};

/** Movements that empty a source without an amount; the others draw only what is named. */
const EMPTIES: ReadonlySet<VerbWord> = new Set<VerbWord>(['rack', 'filter', 'blend']);

export const move: VerbReader = (line, below) => {
  const sources = line.shares(line.entry.head, 'from');
  const parts = line.shares(line.items('to'), 'to');
  const { style } = styleOf(line);
  // a blend may be made in the vessel of one of its wines
  if (line.entry.verb !== 'blend') apart(line, sources, parts, line.items('to'));
  const as = named(line, false);
  if (style !== undefined && as.as !== undefined) line.register.lot(as.as).style = style;
  if (line.entry.verb === 'bleed' && as.as !== undefined) line.register.lot(as.as).style ??= 'rosé';
  return [
    {
      ...line.eventBase(below.note),
      kind: 'move',
      sources,
      parts,
      empties: EMPTIES.has(line.entry.verb),
      ...as,
      ...ends(line),
      ...(style === undefined ? {} : { style }),
    },
  ];
};

export const top: VerbReader = (line, below) => {
  // `top FB-01 from K5 4 L` and `top K5 4 L to FB-01` say the same
  const headIsSource = line.has('to');
  const head = line.shares(line.entry.head, headIsSource ? 'from' : 'to');
  const other = line.shares(line.items(headIsSource ? 'to' : 'from'), headIsSource ? 'to' : 'from');
  const [targets, sources] = headIsSource ? [other, head] : [head, other];
  apart(line, head, other, line.items(headIsSource ? 'to' : 'from'));
  if (![...targets, ...sources].some((share) => share.volume !== undefined)) {
    line.fail({
      ...line.entry.verbSpan,
      code: 'amount-missing',
      message: 'how much it took is missing',
      help: 'write what the topping took: `top FB-01..FB-03 from K5 4.5 L`',
    });
  }
  return [line.event<Top>(below.note, { kind: 'top', targets, sources })];
};

export const bottle: VerbReader = (line, below) => {
  const sources = line.shares(line.entry.head, 'from');
  const filled = bottleList(line, line.items('to'));
  const closure = line.words('closure');
  const code = line.words('code');
  const { as } = named(line, true);
  if (as === undefined) return [];
  return [
    {
      ...line.eventBase(below.note),
      kind: 'bottle',
      sources,
      bottles: filled,
      as,
      ...ends(line),
      ...(closure === undefined ? {} : { closure }),
      ...(code === undefined ? {} : { code }),
    },
  ];
};

/** Holds an entry against the frame of its verb: a word out of place is a finding in the frame's own words. */
import { findAnalyte } from './analytes.ts';
import type { Amount, Entry, Item, Part, Phrase, Problem, Span } from './entries.ts';
import { instead, insteadIf } from './fixes.ts';
import { COMMON, FRAMES, type Frame, type Need, type Slot } from './frames.ts';
import { nearest } from './suggest.ts';
import { type Dimension, findUnit, REFUSED_UNITS, UNITS } from './units.ts';
import { type ClauseWord, LINKS, type LinkWord, type VerbWord } from './words.ts';

const SAY_DIMENSION: Readonly<Record<Dimension, string>> = {
  volume: 'a volume',
  mass: 'a weight',
  temperature: 'a temperature',
  length: 'a length',
  area: 'an area',
  duration: 'a length of time',
  pressure: 'a pressure',
  'mass per volume': 'a rate by weight to volume',
  'mass per mass': 'a rate by weight to weight',
  'volume per volume': 'a rate by volume',
  'volume per length': 'a volume to a height',
  'volume per mass': 'a volume to a weight',
  'mass per area': 'a weight to an area',
  'volume per area': 'a volume to an area',
  'volume per duration': 'a flow',
  percent: 'a share in %',
  count: 'a number of times',
  turbidity: 'a turbidity',
  power: 'a power',
};

const EXAMPLE_UNIT: Readonly<Partial<Record<Dimension, string>>> = {
  volume: 'L',
  mass: 'kg',
  temperature: 'C',
  length: 'cm',
  area: 'ha',
  duration: 'min',
  pressure: 'bar',
  'mass per volume': 'mg/L',
  'mass per mass': 'g/100 kg',
  'volume per length': 'L/cm',
  percent: '%',
};

/** `a volume or a count`; an amount of a material is told shortly, as its dimensions are many. */
function sayDimensions(dimensions: readonly Dimension[]): string {
  if (dimensions.includes('mass') && dimensions.includes('mass per volume')) return 'an amount or a rate';
  return list([...new Set(dimensions)].map((d) => SAY_DIMENSION[d]).slice(0, 3));
}

function sayUnits(dimensions: readonly Dimension[]): string {
  if (dimensions.includes('mass') && dimensions.includes('mass per volume')) return '`g`, `mL` or `g/hL`';
  const units = [...new Set(dimensions)].map((d) => EXAMPLE_UNIT[d]).filter((unit) => unit !== undefined);
  return list(units.slice(0, 3).map((unit) => `\`${unit}\``));
}

/** A figure of the kind a slot takes, to be written behind a name. */
function exampleAmount(slot: Slot): string {
  if (slot.times === true && slot.names === undefined) return '820 x 750 mL';
  const unit = EXAMPLE_UNIT[slot.amounts?.[0] ?? 'volume'];
  return slot.amounts === undefined ? '2026' : `100${unit === undefined ? '' : ` ${unit}`}`;
}

export const sayDimension = (dimension: Dimension): string => SAY_DIMENSION[dimension];

const list = (things: readonly string[]): string =>
  things.length <= 1 ? (things[0] ?? '') : `${things.slice(0, -1).join(', ')} or ${things[things.length - 1]}`;

const example = (verb: VerbWord): string => `for example \`${FRAMES[verb].examples[0]}\``;

/** The unit a misspelt word is nearest to: by its symbols first, then by its words in full. */
function nearestUnit(word: string, slot: Slot): string | undefined {
  const units = UNITS.filter((unit) => slot.amounts?.includes(unit.dimension) ?? true);
  const symbol = nearest(
    word,
    units.map((unit) => unit.symbol),
  );
  if (symbol !== undefined) return symbol;
  const spelling = nearest(
    word,
    units.flatMap((unit) => unit.words.filter((one) => one.length >= 4)),
  );
  return units.find((unit) => spelling !== undefined && unit.words.includes(spelling))?.symbol;
}

/** The units that the reason of a refusal names and the slot takes. */
function refusedFor(reason: string, slot: Slot): string[] {
  const named = [...reason.slice(reason.indexOf('write')).matchAll(/`([^`]+)`/g)].map((match) => match[1] ?? '');
  return named.filter((word) => {
    const unit = findUnit(word);
    return unit !== undefined && slot.amounts?.includes(unit.dimension) === true;
  });
}

function wordAfterNumber(word: Part & { type: 'word' }, amount: Amount, slot: Slot): Problem {
  const refused = REFUSED_UNITS.get(word.text) ?? REFUSED_UNITS.get(word.text.toLowerCase());
  if (refused !== undefined) {
    return {
      start: word.start,
      end: word.end,
      code: 'unit-refused',
      message: `\`${word.text}\` has more than one meaning: ${refused}`,
      help: 'write the unit in full',
      ...instead(word, ...refusedFor(refused, slot)),
    };
  }
  if (slot.times === true && /^bottles?$|^magnums?$|^halves$|^cases?$/i.test(word.text)) {
    return {
      start: word.start,
      end: word.end,
      code: 'unit-unknown',
      message: `how large the ${word.text.toLowerCase()} are is missing`,
      help: `write how many and what size: \`${amount.text} x 750 mL\`, or cases as \`40 x 12 x 750 mL\``,
    };
  }
  const near = nearestUnit(word.text, slot);
  return {
    start: word.start,
    end: word.end,
    code: 'unit-unknown',
    message: `\`${word.text}\` behind ${amount.text} is not a unit`,
    help: near === undefined ? `write a unit such as ${sayUnits(slot.amounts ?? [])}` : `did you mean \`${near}\`?`,
    ...insteadIf(word, near),
  };
}

function fitAmount(amount: Amount, slot: Slot, what: string): Problem | undefined {
  const span: Span = { start: amount.start, end: amount.end };
  const dimensions = slot.amounts ?? [];
  if (amount.quant !== undefined) {
    return slot.quants?.includes(amount.quant) === true
      ? undefined
      : {
          ...span,
          code: 'word-stray',
          message: `\`${amount.quant}\` has no place after ${what}`,
          help: `what fits here: ${slot.say}`,
        };
  }
  if (amount.ask) {
    if (slot.asks === true) return undefined;
    return dimensions.length > 0
      ? {
          ...span,
          code: 'amount-missing',
          message: `\`?\` stands for the amount after ${what}, and only of what is added an amount is worked out`,
          help: 'write the figure',
        }
      : {
          ...span,
          code: 'word-stray',
          message: `\`?\` has no place after ${what}`,
          help: `what fits here: ${slot.say}`,
        };
  }
  if (amount.times !== undefined && slot.times !== true) {
    return {
      ...span,
      code: 'word-stray',
      message: `\`x\` has no place after ${what}`,
      help: `what fits here: ${slot.say}`,
    };
  }
  if (amount.high !== undefined) {
    return {
      ...span,
      code: 'word-stray',
      message: `a range of numbers has no place after ${what}`,
      help: 'write one figure, with `~` before it if it is an estimate',
    };
  }
  if (amount.mark === '<' || amount.mark === '>') {
    return {
      ...span,
      code: 'word-stray',
      message: `\`${amount.mark}\` has no place after ${what}`,
      help: 'write the figure, with `~` before it if it is an estimate',
    };
  }
  if (amount.unit === undefined) {
    if (slot.bare === true) return undefined;
    if (dimensions.length === 0)
      return {
        ...span,
        code: 'word-stray',
        message: `a number has no place after ${what}`,
        help: `what fits here: ${slot.say}`,
      };
    // whether a material is counted in pieces shows only where it is looked up
    if ((dimensions.length === 1 && dimensions[0] === 'count') || slot.analytes === 'rate') return undefined;
    const unit = EXAMPLE_UNIT[dimensions[0] as Dimension] ?? 'L';
    return {
      ...span,
      code: 'unit-missing',
      message: `${amount.text} has no unit`,
      help: `write the unit: \`${amount.text} ${unit}\``,
    };
  }
  const unit = findUnit(amount.unit);
  if (unit === undefined) return { ...span, code: 'unit-unknown', message: `\`${amount.unit}\` is not a unit` };
  if (!dimensions.includes(unit.dimension)) {
    if (dimensions.length === 0) {
      return {
        ...span,
        code: 'word-stray',
        message: `\`${amount.text} ${amount.unit}\` has no place after ${what}`,
        help: `what fits here: ${slot.say}`,
      };
    }
    return {
      ...span,
      code: 'unit-wrong-kind',
      message: `\`${amount.text} ${amount.unit}\` is ${SAY_DIMENSION[unit.dimension]}; ${what} needs ${sayDimensions(dimensions)}`,
      help: `write it in ${sayUnits(dimensions)}`,
    };
  }
  if (unit.dimension === 'percent' && amount.value > 100) {
    return {
      ...span,
      code: 'amount-out-of-range',
      message: `\`${amount.text} ${amount.unit}\` is more than the whole`,
      help: 'mend the figure',
    };
  }
  if (amount.value < 0 && unit.dimension !== 'temperature') {
    return {
      ...span,
      code: 'amount-out-of-range',
      message: `\`${amount.text} ${amount.unit}\` is less than nothing`,
      help: 'write what was moved as a positive figure',
    };
  }
  if (amount.text.replace(/\D/g, '').length > 15 || amount.value > 1e9) {
    return {
      ...span,
      code: 'amount-out-of-range',
      message: `\`${amount.text}\` is beyond all reason`,
      help: 'mend the figure',
    };
  }
  return undefined;
}

function fitItem(item: Item, slot: Slot, what: string): Problem | undefined {
  let previous: Part | undefined;
  let amounts = 0;
  for (let i = 0; i < item.parts.length; i++) {
    const part = item.parts[i] as Part;
    const isHead = i === 0;
    if (part.type === 'amount') {
      if (isHead && slot.names !== undefined && slot.bare !== true && slot.times !== true && part.quant === undefined) {
        return {
          start: part.start,
          end: part.end,
          code: 'line-malformed',
          message: `${what} begins with a number`,
          help: `what fits here: ${slot.say}; the name comes first, then the amount`,
        };
      }
      const misfit = fitAmount(part, slot, what);
      if (misfit !== undefined) {
        const after = item.parts[i + 1];
        if (misfit.code === 'unit-missing' && after?.type === 'word')
          return wordAfterNumber(after as Part & { type: 'word' }, part, slot);
        return misfit;
      }
      if (part.quant !== 'each') amounts++;
    } else if (part.type === 'date') {
      if (slot.date !== true)
        return {
          start: part.start,
          end: part.end,
          code: 'word-stray',
          message: `a day has no place after ${what}`,
          help: `what fits here: ${slot.say}`,
        };
    } else if (part.type === 'code') {
      if (slot.code !== true)
        return {
          start: part.start,
          end: part.end,
          code: 'word-stray',
          message: `\`${part.text}\` has no place after ${what}`,
          help: `what fits here: ${slot.say}`,
        };
    } else if (part.type === 'time') {
      return {
        start: part.start,
        end: part.end,
        code: 'word-stray',
        message: `the time \`${part.text}\` has no place after ${what}`,
        help: 'times stand before the verb',
      };
    } else if (part.type === 'string') {
      const allowed = slot.strings === true || (isHead && slot.names !== undefined) || (slot.code === true && isHead);
      if (!allowed)
        return {
          start: part.start,
          end: part.end,
          code: 'word-stray',
          message: `\`"${part.text}"\` has no place after ${what}`,
          help: `what fits here: ${slot.say}`,
        };
    } else {
      if (isHead && slot.names !== undefined) {
        previous = part;
        continue;
      }
      if (
        previous?.type === 'amount' &&
        previous.unit === undefined &&
        previous.quant === undefined &&
        slot.bare !== true &&
        (slot.amounts?.length ?? 0) > 0
      ) {
        return wordAfterNumber(part as Part & { type: 'word' }, previous, slot);
      }
      const free =
        slot.words === true ||
        (slot.analytes === 'rate' && previous?.type === 'amount') ||
        (slot.analytes === 'rate' && findAnalyte(part.text) !== undefined);
      if (!free) {
        if (Array.isArray(slot.words)) {
          if (
            slot.words.some(
              (word: string) =>
                word.toLowerCase() === part.text.toLowerCase() ||
                (word === 'rosé' && part.text.toLowerCase() === 'rose'),
            )
          ) {
            previous = part;
            continue;
          }
          // a short list is told in full
          const near = slot.words.length <= 4 ? undefined : nearest(part.text, slot.words as string[]);
          return {
            start: part.start,
            end: part.end,
            code: 'word-stray',
            message: `\`${part.text}\` has no place after ${what}`,
            help: near === undefined ? `what fits here: ${list(slot.words as string[])}` : `did you mean \`${near}\`?`,
            ...insteadIf(part, near),
          };
        }
        if (slot.bare === true && previous?.type === 'amount') {
          return wordAfterNumber(part as Part & { type: 'word' }, previous, slot);
        }
        const unit = findUnit(part.text);
        if (unit !== undefined && slot.amounts?.includes(unit.dimension) === true) {
          return {
            start: part.start,
            end: part.end,
            code: 'amount-missing',
            message: `\`${part.text}\` is a unit, and no number stands before it`,
            help: `write the number first: \`100 ${part.text}\``,
          };
        }
        if (/^(and|und|et|y|e|then)$/i.test(part.text)) {
          return {
            start: part.start,
            end: part.end,
            code: 'word-stray',
            message: `\`${part.text}\` has no place after ${what}`,
            help: 'a comma stands between equal things; another work stands on a line of its own',
          };
        }
        const first =
          slot.names === 'new' && previous?.type === 'word' && previous.to === undefined ? previous.text : undefined;
        const crossed = slot.times === true && part.text === 'x';
        return {
          start: part.start,
          end: part.end,
          code: 'word-stray',
          message: `\`${part.text}\` has no place after ${what}`,
          help:
            first !== undefined
              ? `a name is one word: \`${first}-${part.text}\`, or in quotes: \`"${first} ${part.text}"\``
              : crossed
                ? 'the number of bottles stands before it: `820 x 750 mL`'
                : `what fits here: ${slot.say}; a name of more than one word stands in quotes, a remark after \` -- \``,
          ...(first === undefined || previous === undefined || part.to !== undefined
            ? {}
            : instead({ start: previous.start, end: part.end }, `${first}-${part.text}`, `"${first} ${part.text}"`)),
        };
      }
    }
    previous = part;
  }
  if (slot.amountNeeded === true && amounts === 0) {
    const head = item.parts[0];
    const name = head.type === 'amount' ? what.replaceAll('`', '') : sayName(head);
    return {
      start: item.start,
      end: item.end,
      code: 'amount-missing',
      message: `\`${name}\` has no amount`,
      help: `write it behind the name: \`${name} ${exampleAmount(slot)}\``,
    };
  }
  return undefined;
}

const sayName = (word: Exclude<Part, Amount>): string =>
  word.type === 'string' ? `"${word.text}"` : word.to === undefined ? word.text : `${word.text}..${word.to}`;

const reserved = (phrase: Phrase): Problem => ({
  start: phrase.start,
  end: phrase.wordEnd,
  code: 'word-reserved',
  message: `\`${phrase.word}\` is a reserved word and cannot be a name`,
  help: 'take another name',
});

function fitItems(items: readonly Item[], slot: Slot, what: string, span: Span, next?: Phrase): Problem | undefined {
  if (slot.free === true) return undefined;
  if (items.length === 0) {
    if (slot.empty === true) return undefined;
    if (slot.names === 'new' && next !== undefined && next.start - span.end <= 1 && next.items.length === 0) {
      return reserved(next);
    }
    const numeric = slot.amountNeeded === true;
    return {
      ...span,
      code: numeric ? 'amount-missing' : 'line-unfinished',
      message: `nothing stands after ${what}`,
      help: numeric
        ? `write it: \`${what.replaceAll('`', '')} ${exampleAmount(slot)}\``
        : `what fits here: ${slot.say}`,
    };
  }
  const nothingFits =
    slot.names === undefined &&
    slot.amounts === undefined &&
    slot.words === undefined &&
    slot.strings === undefined &&
    slot.bare === undefined &&
    slot.code === undefined &&
    slot.date === undefined;
  if (nothingFits) {
    const first = items[0] as Item;
    return {
      start: first.start,
      end: first.end,
      code: 'word-stray',
      message: `nothing stands after ${what}`,
      help: 'take it away, or put a remark after ` -- `',
    };
  }
  if (slot.many !== true && items.length > 1) {
    const second = items[1] as Item;
    return {
      start: second.start,
      end: second.end,
      code: 'word-stray',
      message: `${what} takes one thing only`,
      help: `what fits here: ${slot.say}`,
    };
  }
  for (const item of items) {
    const problem = fitItem(item, slot, what);
    if (problem !== undefined) return problem;
  }
  return undefined;
}

const isLink = (word: LinkWord | ClauseWord): word is LinkWord => (LINKS as readonly string[]).includes(word);

const slotFor = (frame: Frame, word: LinkWord | ClauseWord): Slot | undefined => frame.phrases[word] ?? COMMON[word];

function missing(entry: Entry, frame: Frame): Problem | undefined {
  const has = (need: Need): boolean =>
    need === 'head' ? entry.head.length > 0 : entry.phrases.some((phrase) => phrase.word === need);
  for (const need of frame.needs) {
    const alternatives = typeof need === 'string' ? [need] : need;
    if (alternatives.some(has)) continue;
    const first = alternatives[0] as Need;
    const next = entry.phrases[0];
    if (first === 'head' && next !== undefined && next.start - entry.verbSpan.end <= 1 && next.items.length === 0) {
      return {
        start: next.start,
        end: next.wordEnd,
        code: 'word-reserved',
        message: `\`${next.word}\` is a reserved word and cannot be a name`,
        help: `take another name; ${example(entry.verb)}`,
      };
    }
    const slot = first === 'head' ? frame.head : slotFor(frame, first);
    const told =
      first === 'head'
        ? (slot?.say ?? 'something')
        : `${list(alternatives.map((word) => `\`${word}\``))} and ${slot?.say ?? 'something'}`;
    return {
      ...entry.verbSpan,
      code: 'phrase-missing',
      message: `\`${entry.verb}\` needs ${told}`,
      help: example(entry.verb),
    };
  }
  return undefined;
}

/** A stray word that is nearly one of the frame's own: `vintge 2025`. */
function misspelt(problem: Problem, items: readonly Item[], frame: Frame): Problem {
  const [, ...further] = items;
  const item = further.find((one) => one.start < problem.start && problem.start < one.end);
  const head = problem.code === 'unit-missing' || problem.code === 'word-stray' ? item?.parts[0] : undefined;
  if (head?.type === 'word' && head.text.length >= 5) {
    const meant = nearest(head.text, Object.keys(frame.phrases));
    if (meant !== undefined && meant.length >= 5) {
      return {
        start: head.start,
        end: head.end,
        code: 'word-stray',
        message: `\`${head.text}\` has no place here`,
        help: `did you mean \`${meant}\`?`,
        ...instead(head, meant),
      };
    }
  }
  if (problem.code !== 'word-stray' || problem.help?.startsWith('did you mean') === true) return problem;
  const part = items.flatMap((item) => item.parts).find((one) => one.start === problem.start);
  if (part?.type !== 'word' || part.text.length < 4) return problem;
  const near = nearest(part.text, Object.keys({ ...frame.phrases, ...COMMON }));
  return near === undefined || near.length < 4
    ? problem
    : { ...problem, help: `did you mean \`${near}\`?`, ...instead(part, near) };
}

/** A name right behind a name, where the link between the two is missing: `rack T1 T2`. */
function unlinked(entry: Entry, frame: Frame): Problem | undefined {
  const links = frame.needs.filter((need) => need !== 'head').flat() as readonly LinkWord[];
  const link = links.find((word) => !entry.phrases.some((phrase) => phrase.word === word));
  const [only, more] = entry.head;
  if (link === undefined || only === undefined || more !== undefined || frame.head?.names !== 'place') return undefined;
  const second = only.parts.find((part, i) => i > 0 && part.type === 'word');
  if (second?.type !== 'word' || findUnit(second.text) !== undefined) return undefined;
  return {
    start: second.start,
    end: second.end,
    code: 'phrase-missing',
    message: `\`${sayName(second)}\` stands right behind another name`,
    help: `write \`${link}\` before it: \`${link} ${sayName(second)}\`; a comma between two of the same kind`,
    ...instead({ start: second.start, end: second.start }, `${link} `),
  };
}

/** What does not fit the frame of the entry's verb; empty where all is well. The first problem is the cause. */
export function fitEntry(entry: Entry): Problem[] {
  const frame = FRAMES[entry.verb];
  if (entry.head.length > 0) {
    const first = entry.head[0] as Item;
    if (frame.head === undefined) {
      return [
        {
          start: first.start,
          end: first.end,
          code: 'word-stray',
          message: `nothing stands right after \`${entry.verb}\``,
          help: example(entry.verb),
        },
      ];
    }
    const problem = fitItems(entry.head, frame.head, `\`${entry.verb}\``, first);
    if (problem !== undefined)
      return [
        (problem.code === 'word-stray' ? unlinked(entry, frame) : undefined) ?? misspelt(problem, entry.head, frame),
      ];
  }
  for (let i = 0; i < entry.phrases.length; i++) {
    const phrase = entry.phrases[i] as Phrase;
    const span = { start: phrase.start, end: phrase.wordEnd };
    const slot = slotFor(frame, phrase.word);
    const named =
      i === 0 &&
      entry.head.length === 0 &&
      frame.needs.includes('head') &&
      frame.head?.names === 'new' &&
      span.start - entry.verbSpan.end <= 1;
    if (named && !isLink(phrase.word)) return [reserved(phrase)];
    if (slot === undefined) {
      const takes = Object.keys(frame.phrases).map((word) => `\`${word}\``);
      return [
        {
          ...span,
          code: 'phrase-misplaced',
          message: `\`${entry.verb}\` does not take \`${phrase.word}\``,
          help: takes.length === 0 ? example(entry.verb) : `it takes ${list(takes)}; ${example(entry.verb)}`,
        },
      ];
    }
    if (
      frame.again?.includes(phrase.word) !== true &&
      entry.phrases.findIndex((other) => other.word === phrase.word) < i
    ) {
      return [
        {
          ...span,
          code: 'phrase-repeated',
          message: `\`${phrase.word}\` stands twice`,
          help: 'write one list after it, separated by commas',
        },
      ];
    }
    const problem = fitItems(phrase.items, slot, `\`${phrase.word}\``, span, entry.phrases[i + 1]);
    if (problem !== undefined) return [misspelt(problem, phrase.items, frame)];
  }
  const gap = missing(entry, frame);
  return gap === undefined ? [] : [gap];
}

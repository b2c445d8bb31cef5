/** Standing facts: they change the register and are no events. */
import type { Item, Part, Word } from '../../../grammar/entries.ts';
import { insteadIf } from '../../../grammar/fixes.ts';
import { nearest } from '../../../grammar/suggest.ts';
import { findUnit } from '../../../grammar/units.ts';
import {
  COLOURS,
  type Colour,
  fold,
  MATERIAL_KINDS,
  type MaterialKind,
  VESSEL_KINDS,
  type VesselKind,
} from '../../../grammar/words.ts';
import { findSubstance } from '../../trade/substances.ts';
import { varietyColour } from '../../trade/varieties.ts';
import { methodProblem } from '../house-methods.ts';
import { type Line, type LineProblem, sayPart, textOf } from '../line.ts';
import { substanceFacts } from '../materials.ts';
import { analyteAt } from '../measures.ts';
import { type Register, rangeHelp, rangeNames } from '../names.ts';
import type { Brings, MaterialFacts, Tolerances } from '../register.ts';
import type { VerbReader } from './reader.ts';

const NONE: readonly never[] = [];

const isText = (part: Part): part is Word => part.type === 'word' || part.type === 'string';

const textsOf = (item: Item | undefined): string[] => (item?.parts ?? []).filter(isText).map((part) => part.text);

export const cellar: VerbReader = (line) => {
  const { settings } = line.register;
  settings.name = textsOf(line.entry.head[0]).join(' ');
  const region = line.words('region');
  const code = line.words('code');
  if (region !== undefined) settings.region = region;
  if (code !== undefined) settings.code = code;
  return NONE;
};

export const report: VerbReader = (line) => {
  const { settings } = line.register;
  for (const item of line.entry.head) {
    switch (textOf(item.parts[0]).toLowerCase()) {
      case 'litres':
        settings.volume = 'L';
        break;
      case 'hectolitres':
        settings.volume = 'hL';
        break;
      case 'gallons':
        settings.volume = 'gal';
        break;
      case 'celsius':
        settings.temperature = 'C';
        break;
      case 'fahrenheit':
        settings.temperature = 'F';
        break;
      case 'kilograms':
        settings.mass = 'kg';
        break;
      case 'pounds':
        settings.mass = 'lb';
        break;
    }
  }
  return NONE;
};

export const law: VerbReader = (line) => {
  const word = textOf(line.entry.head[0]?.parts[0]).toLowerCase();
  if (word === 'us' || word === 'eu' || word === 'none') line.register.settings.law = word;
  return NONE;
};

export const method: VerbReader = (line) => {
  for (const item of line.entry.head) {
    const found = analyteAt(item.parts, 0);
    const name = found?.analyte.key ?? textOf(item.parts[0]).toLowerCase();
    const how = item.parts
      .slice(found?.next ?? 1)
      .map(sayPart)
      .join(' ');
    const wrong = methodProblem(name, how);
    if (wrong !== undefined) {
      line.fail({ start: item.start, end: item.end, code: 'word-stray', ...wrong });
      return NONE;
    }
    line.register.settings.methods.set(name, how);
  }
  return NONE;
};

const isTolerance = (word: string, tolerances: Tolerances): word is keyof Tolerances => Object.hasOwn(tolerances, word);

export const tolerance: VerbReader = (line) => {
  const { tolerances } = line.register.settings;
  for (const item of line.entry.head) {
    const word = textOf(item.parts[0]).toLowerCase();
    const amount = item.parts.find((part) => part.type === 'amount');
    if (amount !== undefined && isTolerance(word, tolerances)) tolerances[word] = line.base(amount);
  }
  return NONE;
};

function taken(line: Line, part: Word, name: string): boolean {
  const named = line.register.place(name);
  if (named === undefined) return false;
  line.fail({
    start: part.start,
    end: part.end,
    code: 'name-taken',
    message: `\`${name}\` is declared already`,
    help: 'take another name, or take this line out',
    ...line.relatedTo(named),
  });
  return true;
}

export const vessel: VerbReader = (line) => {
  const first = line.entry.head[0];
  const last = line.entry.head[line.entry.head.length - 1];
  if (first === undefined || last === undefined) return NONE;
  let kind: VesselKind | undefined;
  let capacity: number | undefined;
  const details: string[] = [];
  const names: { part: Word; name: string }[] = [];
  for (const [i, item] of line.entry.head.entries()) {
    const head = item.parts[0];
    const rest = item.parts.slice(1);
    // further items without kind or capacity are details once those are known: `tank 1200 L steel, insulated`
    if (i > 0 && capacity !== undefined && isText(head) && rest.length === 0) {
      details.push(head.text);
      continue;
    }
    if (isText(head)) {
      if (head.to === undefined) names.push({ part: head, name: head.text });
      else {
        const expanded = rangeNames(head.text, head.to);
        if ('problem' in expanded) {
          line.fail({
            start: head.start,
            end: head.end,
            code: 'range-broken',
            message: `\`${head.text}..${head.to}\`: ${expanded.problem}`,
            help: rangeHelp(head.text, head.to),
          });
          return NONE;
        }
        for (const name of expanded.names) names.push({ part: head, name });
      }
    }
    for (const part of rest) {
      if (part.type === 'amount') {
        if (part.quant === undefined) capacity = line.base(part);
      } else if (kind === undefined) {
        const word = part.text.toLowerCase();
        kind = VESSEL_KINDS.find((known) => known === word);
        if (kind === undefined) {
          const near = nearest(part.text, VESSEL_KINDS);
          line.fail({
            start: part.start,
            end: part.end,
            code: 'word-stray',
            message: `\`${part.text}\` is no kind of vessel`,
            help: near === undefined ? `a kind is one of ${VESSEL_KINDS.join(', ')}` : `did you mean \`${near}\`?`,
            ...insteadIf(part, near),
          });
          return NONE;
        }
      } else details.push(part.text);
    }
  }
  if (kind === undefined) {
    line.fail({
      start: first.start,
      end: last.end,
      code: 'phrase-missing',
      message: 'the kind of vessel is missing',
      help: 'for example `vessel T1..T6 tank 1200 L`',
    });
    return NONE;
  }
  if (capacity === undefined || capacity <= 0) {
    line.fail({
      start: first.start,
      end: last.end,
      code: 'amount-missing',
      message: 'the capacity is missing',
      help: 'for example `vessel T1..T6 tank 1200 L`',
    });
    return NONE;
  }
  for (const word of ['wood', 'cooper', 'toast'] as const) {
    const said = line.words(word);
    if (said !== undefined)
      details.push(word === 'wood' ? `${said} oak`.replace(/oak oak$/, 'oak') : `${word} ${said}`);
  }
  const at = line.words('at');
  const firstUsed = line.year('first');
  const gauge = line.given('gauge');
  if (line.failure !== undefined) return NONE;
  for (const { part, name } of names) {
    const failed: LineProblem | undefined = line.failure;
    if (part.type === 'word') line.checkName({ ...part, text: name });
    // a name that cannot be given costs that one vessel
    if (line.failure !== failed || taken(line, part, name)) continue;
    line.register.addVessel({
      name: name.normalize('NFC'),
      kind,
      capacity,
      details,
      place: line.place,
      ...(at === undefined ? {} : { at }),
      ...(firstUsed === undefined ? {} : { firstUsed }),
      ...(gauge === undefined ? {} : { gauge }),
    });
  }
  return NONE;
};

const isColour = (word: string): word is Colour => (COLOURS as readonly string[]).includes(word);

export const variety: VerbReader = (line) => {
  const item = line.entry.head[0];
  const texts = textsOf(item);
  const colour = texts[texts.length - 1]?.toLowerCase() ?? '';
  if (texts.length < 2 || !isColour(colour)) {
    line.fail({
      start: item?.start ?? 0,
      end: item?.end ?? 0,
      code: 'word-stray',
      message: 'a grape is followed by its colour: red, white or grey',
      help: 'for example `variety "Ledge Seedling" white`',
    });
    return NONE;
  }
  line.register.varieties.set(fold(texts.slice(0, -1).join(' ')), colour);
  return NONE;
};

/** The colour of a grape: as the journal says, else as the tool knows. */
export function colourOf(register: Register, grape: string): Colour | undefined {
  return register.varieties.get(fold(grape)) ?? varietyColour(grape);
}

export const block: VerbReader = (line) => {
  const item = line.entry.head[0];
  const head = item?.parts[0];
  if (item === undefined || head === undefined || !isText(head)) return NONE;
  if (head.type === 'word') line.checkName(head);
  if (line.failure !== undefined || taken(line, head, head.text)) return NONE;
  const grape: string[] = [];
  let said: Colour | undefined;
  for (const part of item.parts.slice(1)) {
    if (!isText(part)) continue;
    const word = part.text.toLowerCase();
    if (part.type === 'word' && isColour(word)) said = word;
    else grape.push(part.text);
  }
  const name = grape.join(' ');
  if (name === '') {
    line.fail({
      start: item.start,
      end: item.end,
      code: 'phrase-missing',
      message: `the grape of \`${head.text}\` is missing`,
      help: 'for example `block ledge-2 Syrah region "Lower Teal" 1.1 ha`',
    });
    return NONE;
  }
  let area: number | undefined;
  for (const one of [...line.entry.head, ...line.items('region'), ...line.items('grower')]) {
    for (const part of one.parts)
      if (part.type === 'amount' && part.unit !== undefined && findUnit(part.unit)?.dimension === 'area')
        area = line.base(part);
  }
  const region = phraseText(line, 'region');
  const grower = phraseText(line, 'grower');
  const details: string[] = [];
  for (const word of ['planted', 'clone', 'code'] as const) {
    const value = line.words(word);
    if (value !== undefined) details.push(`${word} ${value}`);
  }
  line.register.addBlock({
    name: head.text.normalize('NFC'),
    variety: name,
    colour: said ?? colourOf(line.register, name),
    estate: line.has('estate'),
    details,
    place: line.place,
    ...(region === undefined ? {} : { region }),
    ...(grower === undefined ? {} : { grower }),
    // square millimetres to hectares
    ...(area === undefined ? {} : { hectares: area / 1e10 }),
  });
  return NONE;
};

/** The words of a phrase without the amounts that stand among them. */
function phraseText(line: Line, word: 'region' | 'grower'): string | undefined {
  const texts = line.items(word).flatMap((item) => textsOf(item));
  return texts.length === 0 ? undefined : texts.join(' ');
}

export const hand: VerbReader = (line) => {
  for (const item of line.entry.head) {
    const name = textOf(item.parts[0]);
    if (line.register.hand(name) === undefined) line.register.addHand(name);
  }
  return NONE;
};

const PER_PIECE_UNITS = 'mass';

export const material: VerbReader = (line) => {
  const head = line.entry.head[0]?.parts[0];
  if (head === undefined || !isText(head)) return NONE;
  if (line.register.material(head.text) !== undefined) {
    line.fail({
      start: head.start,
      end: head.end,
      code: 'name-taken',
      message: `the material \`${head.text}\` is declared already`,
      help: 'take another name, or take this line out',
    });
    return NONE;
  }
  const parts = line.entry.head.flatMap((item) => [...item.parts]).slice(1);
  const is = line.words('is');
  const brings: Brings[] = [];
  let facts: Omit<MaterialFacts, 'id' | 'name' | 'brings'> | undefined;
  if (is !== undefined) {
    const substance = findSubstance(is);
    if (substance === undefined) {
      const span = line.phrase('is') ?? head;
      line.fail({
        start: span.start,
        end: span.end,
        code: 'substance-unknown',
        message: `\`${is}\` is not a substance the tool knows`,
        help: `say what kind of thing it is instead: \`material ${head.text} nutrient, nitrogen 10 %\``,
      });
      return NONE;
    }
    const known = substanceFacts(substance);
    facts = known;
    brings.push(...known.brings);
  }
  const words = parts.filter((part): part is Word => part.type === 'word');
  const amount = parts.find((part) => part.type === 'amount' && part.quant === undefined);
  if (amount?.type === 'amount') {
    // `5 g SO2 each`: counted units
    const analyte = words.find((word) => word.start > amount.start)?.text;
    const unit = amount.unit === undefined ? undefined : findUnit(amount.unit);
    if (analyte !== undefined && unit?.dimension === PER_PIECE_UNITS)
      brings.push({ analyte: analyteName(analyte), per: 'piece', amount: line.base(amount) });
    facts ??= { kind: analyte?.toUpperCase() === 'SO2' ? 'sulfite' : 'other', liquid: false };
  }
  if (facts === undefined) {
    const said = words.map((word) => word.text.toLowerCase()).join(' ');
    const kind: MaterialKind | undefined =
      MATERIAL_KINDS.find((known) => known === said) ??
      (said === 'fining' ? 'fining agent' : said === 'malolactic bacteria' ? 'bacteria' : undefined);
    if (kind === undefined) {
      const substance = said === '' ? undefined : findSubstance(said);
      if (substance === undefined) {
        const near = nearest(said, MATERIAL_KINDS);
        line.fail({
          start: words[0]?.start ?? head.start,
          end: words[words.length - 1]?.end ?? head.end,
          code: 'substance-unknown',
          message: said === '' ? `what \`${head.text}\` is stays unsaid` : `\`${said}\` is no kind of material`,
          help:
            near === undefined || said === ''
              ? `a kind is one of ${MATERIAL_KINDS.join(', ')}; a known substance stands after \`is\``
              : `did you mean \`${near}\`?`,
          ...(said === '' || words[0] === undefined
            ? {}
            : insteadIf({ start: words[0].start, end: words[words.length - 1]?.end ?? words[0].end }, near)),
        });
        return NONE;
      }
      const known = substanceFacts(substance);
      facts = known;
      brings.push(...known.brings);
    } else facts = { kind, liquid: kind === 'solution' || kind === 'water' };
  }
  const nitrogen = line.given('nitrogen');
  if (nitrogen !== undefined) brings.push({ analyte: 'N', per: 'mass', amount: nitrogen });
  const brought = line.items('brings')[0];
  const figure = brought?.parts.find((part) => part.type === 'amount');
  if (brought !== undefined && figure?.type === 'amount') {
    const analyte = brought.parts.find((part): part is Word => part.type === 'word')?.text;
    const dimension = figure.unit === undefined ? undefined : findUnit(figure.unit)?.dimension;
    if (analyte === undefined) {
      line.fail({
        start: brought.start,
        end: brought.end,
        code: 'phrase-missing',
        message: 'what it brings is missing',
        help: 'write `brings 50 g/L SO2`',
      });
      return NONE;
    }
    brings.push({
      analyte: analyteName(analyte),
      per: dimension === 'percent' ? 'mass' : dimension === 'mass' ? 'piece' : 'volume',
      amount: line.base(figure),
    });
  }
  const allergen = line.words('allergen');
  line.register.addMaterial({
    ...facts,
    name: head.text.normalize('NFC'),
    brings,
    place: line.place,
    ...(allergen === undefined ? {} : { allergen }),
  });
  return NONE;
};

/** The analyte as the trade writes it. */
export function analyteName(word: string): string {
  const upper = word.toUpperCase();
  return upper === 'SO2' || upper === 'N'
    ? upper
    : upper === 'CU' || upper === 'COPPER'
      ? 'Cu'
      : upper === 'NITROGEN' || upper === 'YAN'
        ? 'N'
        : word;
}

/** Lines that belong to the one above them and are read with it. */
export const readAbove: VerbReader = () => NONE;

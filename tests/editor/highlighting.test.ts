/** The colouring grammar tells words apart as the lexer does. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import oniguruma from 'vscode-oniguruma';
import textmate, { type IGrammar } from 'vscode-textmate';
import { UNUSUAL, usualCharacters } from '../../grammar/characters.ts';
import { fileLines } from '../../grammar/file-lines.ts';
import { highlightingFile } from '../../grammar/reference/highlighting.ts';
import { cut, endOf } from '../../grammar/tokens.ts';
import { cases } from '../corpus/cases.ts';
import { CELLAR, DEMO } from './journals.ts';

const file = highlightingFile();

/** The class every token of the lexer has in the grammar; a plain word has none of the others. */
const CLASSES: Readonly<Record<string, string>> = {
  Verb: 'keyword.control.verb',
  Struck: 'storage.modifier.struck',
  Link: 'keyword.operator.link',
  Clause: 'keyword.other.clause',
  Quant: 'constant.language.quantity',
  Now: 'constant.language.quantity',
  Number: 'constant.numeric',
  CommaNumber: 'invalid.illegal.number',
  Unit: 'keyword.other.unit',
  Date: 'constant.other.date',
  Time: 'constant.other.time',
  String: 'string.quoted.double',
  Code: 'entity.name.tag',
  Remark: 'comment.line.remark',
  Comment: 'comment.line.number-sign',
  DotDot: 'keyword.operator.range',
  Comma: 'punctuation.separator.comma',
  Open: 'punctuation.section.bracket',
  Close: 'punctuation.section.bracket',
  Mark: 'keyword.operator.mark',
  Ask: 'keyword.operator.asked',
  Dash: 'keyword.operator.dash',
  Cross: 'keyword.operator.cross',
  Word: 'variable.other.name',
};

let grammar: IGrammar;

beforeAll(async () => {
  const wasm = createRequire(import.meta.url).resolve('vscode-oniguruma');
  await oniguruma.loadWASM(readFileSync(join(wasm, '..', 'onig.wasm')));
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(file.text, file.path),
  });
  const loaded = await registry.loadGrammar('source.cellar');
  if (loaded === null) throw new Error('the grammar cannot be read');
  grammar = loaded;
});

interface Part {
  readonly start: number;
  readonly end: number;
  readonly scope: string;
}

/** The classes of a text, every line coloured after the one above it. */
function classes(text: string): Part[] {
  let state = textmate.INITIAL;
  let at = 0;
  const parts: Part[] = [];
  for (const line of text.split('\n')) {
    const { tokens, ruleStack } = grammar.tokenizeLine(line.replace(/\r$/, ''), state);
    state = ruleStack;
    for (const { startIndex, endIndex, scopes } of tokens)
      parts.push({ start: at + startIndex, end: at + endIndex, scope: scopes.at(-1) ?? '' });
    at += line.length + 1;
  }
  return parts;
}

/** Where grammar and lexer do not agree in a text, as `word: class of the lexer, class of the grammar`. */
function differences(text: string): { wrong: string[]; tokens: number } {
  const parts = classes(text);
  const wrong: string[] = [];
  let tokens = 0;
  for (const line of fileLines(text)) {
    if (line.kind !== 'said' && line.kind !== 'day') continue;
    // look-alike characters are mended before the lexer sees them
    if (UNUSUAL.test(line.text) && usualCharacters(line.text).text !== line.text) continue;
    const { tokens: lexed, comments, bad } = cut(line.text);
    // what cannot be cut into words is no language to colour
    if (bad.length > 0) continue;
    for (const token of [...lexed, ...comments]) {
      const name = token.tokenType.name;
      const start = line.start + token.startOffset;
      const end = line.start + endOf(token);
      const here = parts.filter(
        (part) => part.start < end && part.end > start && text.slice(part.start, part.end).trim() !== '',
      );
      const isWeekday = name === 'Word' && token === lexed[1] && lexed[0]?.tokenType.name === 'Date';
      const weekday = isWeekday ? 'constant.other.weekday' : undefined;
      const expected = weekday ?? CLASSES[name] ?? name;
      tokens++;
      for (const { scope } of here) {
        if (scope.startsWith(expected)) continue;
        wrong.push(`${token.image}: ${name}, ${scope} in ${line.text.trim()}`);
        break;
      }
    }
  }
  return { wrong, tokens };
}

describe('it colours as the lexer cuts', () => {
  test('every line of the demo journal', () => {
    let tokens = 0;
    for (const { text } of DEMO) {
      const found = differences(text);
      expect(found.wrong).toEqual([]);
      tokens += found.tokens;
    }
    expect(tokens).toBeGreaterThan(8000);
  });

  test.each(cases('good'))('$name', ({ files }) => {
    for (const { text } of files) expect(differences(text).wrong).toEqual([]);
  });

  test.each(cases('bad'))('$name', ({ files }) => {
    for (const { text } of files) expect(differences(text).wrong).toEqual([]);
  });
});

describe('what is no word', () => {
  const scopes = (text: string): string[] =>
    classes(text)
      .filter(({ start, end }) => text.slice(start, end).trim() !== '')
      .map(({ start, end, scope }) => `${text.slice(start, end).trim()} ${scope.replace(/\.cellar$/, '')}`);

  test('notes, conflicts and comments', () => {
    expect(scopes('    | to T1 -- 20 L')).toEqual(['| punctuation.definition.note', 'to T1 -- 20 L markup.quote.note']);
    expect(scopes('<<<<<<< ours')).toEqual(['<<<<<<< ours invalid.illegal.conflict']);
    expect(scopes('# rack T1')).toEqual(['# rack T1 comment.line.number-sign']);
  });

  test('nothing of a line spills into the next', () => {
    const parts = classes(`${CELLAR}10:00 reading T1 pH 3.5 "open\n`);
    const after = classes(`${CELLAR}10:00 reading T1 pH 3.5 "open\n11:00 rack T1 to T2\n`).slice(parts.length - 1);
    expect(after.some(({ scope }) => scope.startsWith('keyword.control.verb'))).toBe(true);
  });

  test('a verb elsewhere in a line is a word, and a unit without a number', () => {
    expect(scopes('10:00 rack L to press')).toEqual([
      '10:00 constant.other.time',
      'rack keyword.control.verb',
      'L variable.other.name',
      'to keyword.operator.link',
      'press variable.other.name',
    ]);
  });
});

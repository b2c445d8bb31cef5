/** The language server as an editor meets it: the program itself, spoken to over its standard input and output. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import { checkTexts } from '../../src/checks/check-journal.ts';
import { lineAt } from '../../src/journal/files.ts';
import { cases } from '../corpus/cases.ts';
import { Client, type Diagnostic, find, type Place, placeOf, Refused, type Span } from './client.ts';
import { CELLAR } from './journals.ts';

let client: Client | undefined;

function start(files: Readonly<Record<string, string>>): Client {
  client = new Client(files);
  return client;
}

/** A server with one journal file open in it, and what it says of that file. */
async function opened(text = CELLAR): Promise<Client> {
  const one = start({ 'a.cellar': text });
  await one.initialize();
  one.open('a.cellar', text);
  await one.findings('a.cellar', 1);
  return one;
}

afterEach(() => {
  client?.end();
  client = undefined;
});

const offsetOf = (text: string, { line, character }: Place): number =>
  text
    .split('\n')
    .slice(0, line)
    .reduce((sum, one) => sum + one.length + 1, 0) + character;

const under = (text: string, { start: from, end }: Span): string =>
  text.slice(offsetOf(text, from), offsetOf(text, end));

/** A text with the edits of a workspace edit made. */
function edited(text: string, edits: readonly { range: Span; newText: string }[]): string {
  return [...edits]
    .sort((a, b) => offsetOf(text, b.range.start) - offsetOf(text, a.range.start))
    .reduce(
      (now, { range, newText }) =>
        now.slice(0, offsetOf(text, range.start)) + newText + now.slice(offsetOf(text, range.end)),
      text,
    );
}

describe('life', () => {
  test('says what it can do, and ends when it is told to', async () => {
    const one = start({ 'a.cellar': CELLAR });
    const { capabilities } = await one.initialize();
    expect(capabilities).toMatchObject({
      positionEncoding: 'utf-16',
      textDocumentSync: { change: 2 },
      hoverProvider: true,
      renameProvider: { prepareProvider: true },
      documentFormattingProvider: true,
    });
    await one.until(() => one.requested.includes('client/registerCapability'));
    expect(await one.request('shutdown')).toBeNull();
    one.notify('exit');
    await one.until(() => one.exit !== undefined);
    expect(one.exit).toBe(0);
  });

  test('ends with 1 when it is left without a word', async () => {
    const one = start({ 'a.cellar': CELLAR });
    await one.initialize();
    one.notify('exit');
    await one.until(() => one.exit !== undefined);
    expect(one.exit).toBe(1);
  });

  test('answers nothing before it is initialized, and does not fall over requests that make no sense', async () => {
    const one = start({ 'a.cellar': CELLAR });
    const early = one.request('textDocument/hover', one.at('a.cellar', { line: 0, character: 0 }));
    await expect(early).rejects.toThrow(Refused);
    await one.initialize();
    expect(await one.request('textDocument/hover', { textDocument: 12 })).toBeNull();
    await expect(one.request('textDocument/hover', {})).rejects.toThrow(Refused);
    await expect(one.request('no/such/method')).rejects.toMatchObject({ code: -32601 });
    one.notify('textDocument/didChange', { textDocument: { uri: 'nonsense', version: 3 }, contentChanges: [{}] });
    one.notify('$/unheard-of', {});
    one.notify('textDocument/didOpen', {
      textDocument: { uri: 'untitled:x', languageId: 'cellar', version: 1, text: 'vessel' },
    });
    const nothing = await one.request('textDocument/hover', one.at('not-there.cellar', { line: 9, character: 9 }));
    expect(nothing).toBeNull();
    one.open('a.cellar', CELLAR);
    expect(await one.findings('a.cellar', 1)).toEqual([]);
    const far = await one.request('textDocument/hover', one.at('a.cellar', { line: 9999, character: 9999 }));
    expect(far).toBeNull();
  });
});

/** Findings as the command line has them: line and column from 1. */
const fromDiagnostics = (diagnostics: readonly Diagnostic[]) =>
  diagnostics.map(({ range, code, severity, message }) => ({
    line: range.start.line + 1,
    column: range.start.character + 1,
    code,
    severity,
    message,
  }));

const SEVERITIES = { error: 1, warning: 2, note: 3 };

const fromCheck = (files: readonly { path: string; text: string }[], file: number) =>
  checkTexts(files)
    .findings.filter(({ where }) => where.file === file)
    .map(({ where, code, severity, message, help }) => ({
      line: Math.max(1, where.line),
      column: where.column,
      code,
      severity: SEVERITIES[severity],
      message: help === undefined ? message : `${message}\ninstead: ${help}`,
    }));

describe('findings as one types', () => {
  test('of every journal of the corpus as check tells it, open or not', async () => {
    // what an editor opens has one kind of line break to count by
    const all = cases('bad').filter(({ files }) => files.every(({ text }) => !/\r(?!\n)/.test(text)));
    const folders = all.map(({ name }) => name.replaceAll('/', '-'));
    const one = start(
      Object.fromEntries(
        all.flatMap(({ files }, i) => files.map(({ path, text }) => [`${folders[i]}/${path}`, text] as const)),
      ),
    );
    await one.initialize({ folders });
    const opened = all.filter((_, i) => i % 3 === 0);
    for (const { files } of opened) {
      const folder = folders[all.findIndex((other) => other.files === files)];
      for (const { path, text } of files) one.open(`${folder}/${path}`, text.replace(/^\ufeff/, ''));
    }
    let told = 0;
    for (const [i, { files, name }] of all.entries()) {
      const texts = files.map(({ path, text }) => ({ path, text: text.replace(/^\ufeff/, '') }));
      for (const [file, { path }] of texts.entries()) {
        const expected = fromCheck(texts, file);
        const at = `${folders[i]}/${path}`;
        const said = (): readonly Diagnostic[] => one.lastOf(at)?.diagnostics ?? [];
        await one.until(() => expected.length === 0 || said().length > 0);
        expect(fromDiagnostics(said()), name).toEqual(expected);
        told += expected.length;
      }
    }
    expect(told).toBeGreaterThan(100);
  });

  test('of whatever is typed over a buffer', async () => {
    const one = await opened();
    for (const { files, name } of cases('bad').filter((_, i) => i % 12 === 0)) {
      const [only, more] = files;
      if (only === undefined || more !== undefined) continue;
      const text = only.text.replace(/^\ufeff/, '').replaceAll('\r', '');
      const version = one.put('a.cellar', text);
      expect(fromDiagnostics(await one.findings('a.cellar', version)), name).toEqual(
        fromCheck([{ path: 'a.cellar', text }], 0),
      );
    }
  });

  test('of a closed file, with the line that is the cause', async () => {
    const before = CELLAR.slice(0, CELLAR.indexOf('2026-09-14'));
    const one = start({ 'cellar.cellar': before, '2026.cellar': `${CELLAR.slice(before.length)}10:00 stir T9\n` });
    await one.initialize();
    const told = await one.until(() => one.lastOf('2026.cellar'));
    expect(told.diagnostics.map(({ code }) => code)).toEqual(['name-unknown']);
    expect(told.version).toBeUndefined();
    one.open('cellar.cellar', `${before}vessel T9 tank 900 L\n`);
    await one.until(() => one.lastOf('2026.cellar')?.diagnostics[0]?.code === 'work-on-empty');
    // the disk counts again once the buffer is gone
    one.close('cellar.cellar');
    await one.until(() => one.lastOf('2026.cellar')?.diagnostics[0]?.code === 'name-unknown');
  });

  test('a burst of edits is told of once it is over', async () => {
    const one = await opened();
    const before = one.published.length;
    const line = '10:00 rack T1 to FB-01..FB-03 225 L each, T3 180 L, lees 5 L\n';
    let version = 0;
    for (const letter of line)
      version = one.type('a.cellar', one.text('a.cellar').length, one.text('a.cellar').length, letter);
    expect(await one.findings('a.cellar', version)).toEqual([]);
    expect(one.published.length - before).toBeLessThan(6);
    expect(one.published.slice(before).every(({ version: of }) => of === undefined || of > 1)).toBe(true);
  });

  test('counts UTF-16 characters, and takes every kind of line break', async () => {
    const one = await opened();
    const emoji = `${CELLAR}10:00 taste T1 -- 🍇🍇 very good\n10:30 taste "🍇-9" by zoe\n`;
    const version = one.put('a.cellar', emoji);
    const [finding] = await one.findings('a.cellar', version);
    expect(finding?.code).toBe('name-unknown');
    expect(under(emoji, finding?.range as Span)).toBe('"🍇-9"');
    const windows = one.put('a.cellar', `${CELLAR}10:30 taste T1 by zoe\n`.replaceAll('\n', '\r\n'));
    const [crlf] = await one.findings('a.cellar', windows);
    expect(lineAt(one.text('a.cellar'), (crlf?.range.start.line ?? 0) + 1)).toBe('10:30 taste T1 by zoe');
    expect(crlf?.range.start.character).toBe('10:30 taste T1 by '.length);
  });

  test('files that come, change and go', async () => {
    const one = await opened();
    one.disk('b.cellar', '2026-09-25 Fri\n10:00 stir T9\n');
    const changed = (type: number, path: string): void =>
      one.notify('workspace/didChangeWatchedFiles', { changes: [{ uri: one.uri(path), type }] });
    changed(1, 'b.cellar');
    await one.until(() => one.lastOf('b.cellar')?.diagnostics.length === 1);
    one.disk('b.cellar', '2026-09-25 Fri\n10:00 stir T1\n');
    changed(2, 'b.cellar');
    await one.until(() => one.lastOf('b.cellar')?.diagnostics.length === 0);
    one.disk('c.cellar', '2026-09-25 Fri\n10:00 stir T9\n');
    rmSync(join(one.folder, 'b.cellar'));
    changed(3, 'b.cellar');
    changed(1, 'c.cellar');
    await one.until(() => one.lastOf('c.cellar')?.diagnostics.length === 1);
    rmSync(join(one.folder, 'c.cellar'));
    changed(3, 'c.cellar');
    await one.until(() => one.lastOf('c.cellar')?.diagnostics.length === 0);
  });

  test('several folders, and journals in a folder that holds other things', async () => {
    const one = start({
      'one/a.cellar': `${CELLAR}10:00 stir T9\n`,
      'two/books/a.cellar': `${CELLAR}10:00 stir T1 by zoe\n`,
      'two/drafts/a.cellar': 'nonsense\n',
    });
    await one.initialize({ folders: ['one'] });
    await one.until(() => one.lastOf('one/a.cellar')?.diagnostics.length === 1);
    one.notify('workspace/didChangeWorkspaceFolders', {
      event: { added: [{ uri: one.uri('two/books'), name: 'two' }], removed: [{ uri: one.uri('one'), name: 'one' }] },
    });
    await one.until(() => one.lastOf('two/books/a.cellar')?.diagnostics.length === 1);
    await one.until(() => one.lastOf('one/a.cellar')?.diagnostics.length === 0);
    expect(one.lastOf('two/drafts/a.cellar')).toBeUndefined();
    one.end();
    const other = start({ 'books/a.cellar': `${CELLAR}10:00 stir T9\n`, 'drafts/a.cellar': 'nonsense\n' });
    await other.initialize({ options: { journals: ['books'] } });
    await other.until(() => other.lastOf('books/a.cellar')?.diagnostics.length === 1);
    expect(other.lastOf('drafts/a.cellar')).toBeUndefined();
    // a file from elsewhere is read with its neighbours
    other.open('drafts/b.cellar', 'vessel T1 tank 900 L\n');
    await other.until(() => (other.lastOf('drafts/a.cellar')?.diagnostics.length ?? 0) > 0);
    other.close('drafts/b.cellar');
    await other.until(() => other.lastOf('drafts/a.cellar')?.diagnostics.length === 0);
  });
});

interface Item {
  readonly label: string;
  readonly kind: number;
  readonly detail: string;
  readonly textEdit: { readonly range: Span; readonly newText: string };
  readonly insertTextFormat: number;
  readonly documentation?: { readonly value: string };
}

interface Action {
  readonly title: string;
  readonly isPreferred: boolean;
  readonly edit: { readonly documentChanges: readonly { readonly edits: { range: Span; newText: string }[] }[] };
}

describe('requests', () => {
  test('completion writes over what was typed, and explains itself when asked', async () => {
    const one = await opened();
    const text = `${CELLAR}10:00 rack T1 to FB-0\n`;
    one.put('a.cellar', text);
    const { items } = await one.request<{ items: Item[] }>(
      'textDocument/completion',
      one.at('a.cellar', placeOf(text, text.length - 1)),
    );
    const barrel = items.find(({ label }) => label === 'FB-02');
    expect(barrel).toMatchObject({ detail: 'barrel, empty, 225 L', insertTextFormat: 1 });
    expect(under(text, barrel?.textEdit.range as Span)).toBe('FB-0');
    const { items: verbs } = await one.request<{ items: Item[] }>(
      'textDocument/completion',
      one.at('a.cellar', find(text, 'rack T1')),
    );
    const rack = verbs.find(({ label }) => label === 'rack');
    expect(rack?.documentation).toBeUndefined();
    const resolved = await one.request<Item>('completionItem/resolve', rack);
    expect(resolved.documentation?.value).toContain('Moves wine off its lees');
    expect(verbs.some(({ insertTextFormat }) => insertTextFormat === 2)).toBe(true);
  });

  test('an editor that knows no snippets is offered none', async () => {
    const one = start({ 'a.cellar': CELLAR });
    await one.initialize({ capabilities: { textDocument: {} } });
    one.open('a.cellar', `${CELLAR}\n`);
    const { items } = await one.request<{ items: Item[] }>(
      'textDocument/completion',
      one.at('a.cellar', placeOf(CELLAR, CELLAR.length)),
    );
    expect(items.length).toBeGreaterThan(40);
    expect(items.every(({ insertTextFormat }) => insertTextFormat === 1)).toBe(true);
  });

  test('hover, with the page of a finding', async () => {
    const one = await opened();
    const hover = (place: Place) =>
      one.request<{ contents: { kind: string; value: string }; range: Span } | null>(
        'textDocument/hover',
        one.at('a.cellar', place),
      );
    const tank = await hover(find(CELLAR, 'T1 860'));
    expect(tank?.contents.kind).toBe('markdown');
    expect(tank?.contents.value).toContain('Before this line: empty');
    expect(tank?.contents.value).toContain('After it: LS-free, 860 L');
    expect(under(CELLAR, tank?.range as Span)).toBe('T1');
    const text = `${CELLAR}10:00 transfer T1 24,6 L to T3\n`;
    const version = one.put('a.cellar', text);
    await one.findings('a.cellar', version);
    const comma = await hover(find(text, '24,6'));
    expect(comma?.contents.value).toContain('A litre book must not guess between them');
  });

  test('definition, references and highlights', async () => {
    const before = CELLAR.slice(0, CELLAR.indexOf('2026-09-14'));
    const rest = CELLAR.slice(before.length);
    const one = start({ 'cellar.cellar': before, '2026.cellar': rest });
    await one.initialize();
    one.open('2026.cellar', rest);
    const here = one.at('2026.cellar', find(rest, 'T1 860', 1, 1));
    const given = await one.request<{ uri: string; range: Span }>('textDocument/definition', here);
    expect(given.uri).toBe(one.uri('cellar.cellar'));
    expect(under(before, given.range)).toBe('T1..T4');
    const uses = (includeDeclaration: boolean) =>
      one.request<{ uri: string; range: Span }[]>('textDocument/references', {
        ...here,
        context: { includeDeclaration },
      });
    const all = await uses(true);
    expect(all.map(({ uri, range }) => under(uri === one.uri('2026.cellar') ? rest : before, range))).toEqual([
      'T1',
      'T1',
      'T1',
    ]);
    const highlights = await one.request<{ range: Span }[]>('textDocument/documentHighlight', here);
    expect(highlights.map(({ range }) => under(rest, range))).toEqual(['T1', 'T1']);
    const lot = await one.request<{ range: Span }>(
      'textDocument/definition',
      one.at('2026.cellar', find(rest, 'LS brix')),
    );
    expect(lot.range.start).toEqual(find(rest, 'LS from'));
  });

  test('rename, and why not', async () => {
    const one = await opened();
    const here = one.at('a.cellar', find(CELLAR, 'LS brix'));
    expect(await one.request('textDocument/prepareRename', here)).toMatchObject({ placeholder: 'LS' });
    const renamed = await one.request<Action['edit']>('textDocument/rename', { ...here, newName: '26-SY' });
    const text = edited(CELLAR, renamed.documentChanges[0]?.edits ?? []);
    expect(text).toContain('receive "26-SY" from ledge-2');
    expect(text).toContain('as LS-free');
    expect(checkTexts([{ path: 'a.cellar', text }]).findings).toEqual([]);
    const refused = (newName: string) => one.request('textDocument/rename', { ...here, newName });
    await expect(refused('T1')).rejects.toMatchObject({
      code: -32803,
      message: '`T1` is a vessel already, given at a.cellar:4',
    });
    await expect(refused('to')).rejects.toThrow('reserved word');
    await expect(refused('a "b')).rejects.toThrow('no quotes');
    const ranged = one.request('textDocument/rename', { ...one.at('a.cellar', find(CELLAR, 'T1 860')), newName: 'X9' });
    await expect(ranged).rejects.toThrow('is named by a range');
    expect(await one.request('textDocument/prepareRename', one.at('a.cellar', find(CELLAR, 'brix')))).toBeNull();
  });

  test('an action mends its finding', async () => {
    const one = await opened();
    for (const [wrong, right, code] of [
      ['10:00 trnasfer T1 20 L to T3', '10:00 transfer T1 20 L to T3', 'verb-unknown'],
      ['10:00 transfer T1 20 L to TT3', '10:00 transfer T1 20 L to T3', 'name-unknown'],
      ['10:00 transfer T1 20,5 L to T3', '10:00 transfer T1 20.5 L to T3', 'decimal-comma'],
      ['10:00 stir T1–T2', '10:00 stir T1..T2', 'dash-for-range'],
      ['10:00 taste “T1”', '10:00 taste "T1"', 'odd-character'],
      ['10:00 transfer T1 200 ML to T3', '10:00 transfer T1 200 mL to T3', 'unit-refused'],
      ['10:00 transfer T1 20 Lt to T3', '10:00 transfer T1 20 L to T3', 'unit-unknown'],
      ['2026-09-25 Mon', '2026-09-25 Fri', 'weekday-wrong'],
      ['25/09/2026', '2026-09-25', 'date-order'],
      [
        '10:00 bottle T2 to 200 x 750 mL as 26SY-01, leaving 30 L',
        '10:00 bottle T2 to 200 x 750 mL as "26SY-01", leaving 30 L',
        'name-starts-with-digit',
      ],
      ['7.40 stir T1', '07:40 stir T1', 'time-impossible'],
      ['10:00 stir T1 by bob', '10:00 stir T1 by bo', 'name-unknown'],
      ['10:00 transfer T1 T3 20 L', '10:00 transfer T1 to T3 20 L', 'phrase-missing'],
    ] as const) {
      const text = `${CELLAR}${wrong}\n`;
      const version = one.put('a.cellar', text);
      const diagnostics = await one.findings('a.cellar', version);
      expect(
        diagnostics.map((finding) => finding.code),
        wrong,
      ).toContain(code);
      const [finding] = diagnostics;
      const actions = await one.request<Action[]>('textDocument/codeAction', {
        textDocument: { uri: one.uri('a.cellar') },
        range: finding?.range,
        context: { diagnostics },
      });
      const mended = actions.map(({ edit }) => edited(text, edit.documentChanges[0]?.edits ?? []));
      expect(mended, wrong).toContain(`${CELLAR}${right}\n`);
      const after = await one.findings('a.cellar', one.put('a.cellar', `${CELLAR}${right}\n`));
      expect(
        after.map((one) => one.code),
        right,
      ).not.toContain(code);
    }
    const none = await one.request('textDocument/codeAction', {
      textDocument: { uri: one.uri('a.cellar') },
      range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } },
      context: { diagnostics: [], only: ['refactor'] },
    });
    expect(none).toEqual([]);
  });

  test('symbols, folds and the tidy form', async () => {
    const one = await opened();
    const textDocument = { uri: one.uri('a.cellar') };
    const symbols = await one.request<{ name: string; children: { name: string }[] }[]>('textDocument/documentSymbol', {
      textDocument,
    });
    expect(symbols.map(({ name }) => name).filter((name) => name.startsWith('2026'))).toEqual([
      '2026-09-14 Mon',
      '2026-09-24 Thu',
    ]);
    expect(symbols.at(-1)?.children.map(({ name }) => name)).toEqual([
      '07:00 reading',
      '08:00 drain',
      '08:30 press',
      '09:00 add',
    ]);
    const folds = await one.request<{ startLine: number; endLine: number }[]>('textDocument/foldingRange', {
      textDocument,
    });
    const press = find(CELLAR, '08:30 press').line;
    expect(folds).toContainEqual({ startLine: press, endLine: press + 2 });
    const untidy = `${CELLAR}10:00   stir    t1\n`;
    one.put('a.cellar', untidy);
    const edits = await one.request<{ range: Span; newText: string }[]>('textDocument/formatting', {
      textDocument,
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(edited(untidy, edits)).toContain('\n10:00 stir T1\n');
  });

  test('semantic tokens rebuild the line they are of', async () => {
    const one = await opened();
    const textDocument = { uri: one.uri('a.cellar') };
    const { data } = await one.request<{ data: number[] }>('textDocument/semanticTokens/full', { textDocument });
    const lines = CELLAR.split('\n');
    const words: string[] = [];
    let line = 0;
    let character = 0;
    for (let i = 0; i < data.length; i += 5) {
      const [down = 0, on = 0, length = 0] = data.slice(i, i + 3);
      character = down === 0 ? character + on : on;
      line += down;
      if (line === find(CELLAR, '09:00 add').line) words.push(lines[line]?.slice(character, character + length) ?? '');
    }
    expect(words).toEqual(['09:00', 'add', 'kms', '40', 'mg/L', 'to', 'T1', '-- smells of quince']);
    const part = await one.request<{ data: number[] }>('textDocument/semanticTokens/range', {
      textDocument,
      range: { start: find(CELLAR, '09:00 add'), end: placeOf(CELLAR, CELLAR.length) },
    });
    expect(part.data.length).toBe(words.length * 5);
    await one.until(() => one.requested.includes('workspace/semanticTokens/refresh'));
  });
});

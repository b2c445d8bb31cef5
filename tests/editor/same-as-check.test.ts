/** After any edits the server says what `ullage check` prints of the same files. */
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { folderOf, ullage } from '../cli/run.ts';
import { Client } from './client.ts';
import { DEMO, WRONG_LINES } from './journals.ts';

/** Where a finding stands, and what it is; lines and columns from 1. */
type Told = readonly [line: number, column: number, code: string, message: string];

interface Printed {
  readonly findings: readonly {
    readonly file?: string;
    readonly line: number;
    readonly column: number;
    readonly code: string;
    readonly message: string;
    readonly help?: string;
  }[];
}

function printed(folder: string): Map<string, Told[]> {
  const { findings } = JSON.parse(ullage(['check', folder, '--format', 'json', '--all']).stdout) as Printed;
  const byFile = new Map<string, Told[]>();
  for (const { file = '', line, column, code, message, help } of findings) {
    const told: Told = [line, column, code, help === undefined ? message : `${message}\ninstead: ${help}`];
    byFile.set(file, [...(byFile.get(file) ?? []), told]);
  }
  return byFile;
}

const said = (client: Client, path: string): Told[] =>
  (client.lastOf(path)?.diagnostics ?? []).map(({ range, code, message }) => [
    range.start.line + 1,
    range.start.character + 1,
    code,
    message,
  ]);

const edits = fc.array(
  fc.record({
    file: fc.nat(999),
    at: fc.nat(99_999),
    length: fc.nat(30),
    text: fc.oneof(
      fc.constantFrom(...WRONG_LINES).map((line) => `\n${line}\n`),
      fc.constantFrom('1', ' ', '\n', '..', '"', ','),
    ),
  }),
  { minLength: 2, maxLength: 4 },
);

describe('the server and the command line', () => {
  test('say the same', async () => {
    const files = Object.fromEntries(DEMO.map(({ path, text }) => [path, text]));
    const paths = Object.keys(files);
    const client = new Client(files);
    const folder = folderOf(files);
    try {
      await client.initialize();
      for (const path of paths) client.open(path, files[path] ?? '');
      await fc.assert(
        fc.asyncProperty(edits, async (all) => {
          let version = 0;
          let last = '';
          for (const { file, at, length, text } of all) {
            last = paths[file % paths.length] ?? '';
            const before = client.text(last);
            const start = at % (before.length + 1);
            version = client.type(last, start, Math.min(before.length, start + length), text);
            writeFileSync(join(folder, last), client.text(last));
          }
          await client.findings(last, version);
          // what is said of the other files has come by the time another question is answered
          await client.request('textDocument/foldingRange', { textDocument: { uri: client.uri(last) } });
          const expected = printed(folder);
          for (const path of paths) expect(said(client, path), path).toEqual(expected.get(path) ?? []);
          // back to where it was, so that mistakes do not pile up
          for (const path of paths) {
            if (client.text(path) === files[path]) continue;
            client.put(path, files[path] ?? '');
            writeFileSync(join(folder, path), files[path] ?? '');
          }
        }),
        { numRuns: 8, interruptAfterTimeLimit: 60_000 },
      );
    } finally {
      client.end();
      rmSync(folder, { recursive: true, force: true });
    }
  });
});

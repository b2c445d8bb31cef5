/** An editor as the language server sees one: frames on its standard input and output, requests, notifications, buffers. */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const PROGRAM = join(ROOT, 'dist', 'ullage.js');

export interface Place {
  readonly line: number;
  readonly character: number;
}

export interface Span {
  readonly start: Place;
  readonly end: Place;
}

export interface Diagnostic {
  readonly range: Span;
  readonly severity: number;
  readonly code: string;
  readonly source: string;
  readonly message: string;
  readonly relatedInformation?: readonly { readonly message: string; readonly location: { readonly uri: string } }[];
}

export interface Published {
  readonly uri: string;
  readonly version?: number;
  readonly diagnostics: readonly Diagnostic[];
}

interface Message {
  readonly id?: number;
  readonly method?: string;
  readonly params?: unknown;
  readonly result?: unknown;
  readonly error?: { readonly code: number; readonly message: string };
}

export class Refused extends Error {
  readonly code: number;

  constructor(code: number, message: string) {
    super(message);
    this.code = code;
  }
}

/** The place of an offset in a text, in lines and UTF-16 characters. */
export function placeOf(text: string, offset: number): Place {
  const before = text.slice(0, offset).split(/\r\n|\n|\r/);
  return { line: before.length - 1, character: before[before.length - 1]?.length ?? 0 };
}

/** The place of the n-th time that words stand in a text, and so many characters on. */
export function find(text: string, words: string, nth = 1, on = 0): Place {
  let at = -1;
  for (let i = 0; i < nth; i++) at = text.indexOf(words, at + 1);
  if (at === -1) throw new Error(`no ${words} in the text`);
  return placeOf(text, at + on);
}

const LONGEST_WAIT = 60_000;

export class Client {
  readonly folder: string;
  private readonly child: ChildProcess;
  private buffer = Buffer.alloc(0);
  private readonly waiting = new Map<number, { resolve: (result: unknown) => void; reject: (error: Error) => void }>();
  private readonly listeners = new Set<() => void>();
  private last = 0;
  private readonly texts = new Map<string, { text: string; version: number }>();
  readonly published: Published[] = [];
  readonly logged: string[] = [];
  readonly requested: string[] = [];
  exit: number | null | undefined;

  /** `program`: the bundle; that of this repository where none is named. */
  constructor(files: Readonly<Record<string, string>>, program = PROGRAM) {
    this.folder = mkdtempSync(join(tmpdir(), 'ullage-editor-'));
    for (const [path, text] of Object.entries(files)) this.disk(path, text);
    if (!existsSync(program)) spawnSync(process.execPath, [join(ROOT, 'src/cli/bundle.mjs')], { cwd: ROOT });
    this.child = spawn(process.execPath, [program, 'language-server', '--stdio'], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    this.child.stdout?.on('data', (chunk: Buffer) => this.read(chunk));
    // a server that was ended may still be spoken to
    this.child.stdin?.on('error', () => {});
    this.child.on('exit', (code) => {
      this.exit = code;
      for (const { reject } of this.waiting.values()) reject(new Error(`the server ended with ${code}`));
      this.told();
    });
  }

  disk(path: string, text: string): void {
    mkdirSync(dirname(join(this.folder, path)), { recursive: true });
    writeFileSync(join(this.folder, path), text);
  }

  uri(path: string): string {
    return pathToFileURL(join(this.folder, path)).href;
  }

  /** Ends the server, however it is. */
  end(): void {
    this.child.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }

  // frames

  private read(chunk: Buffer): void {
    this.buffer = Buffer.concat([this.buffer, chunk]);
    for (;;) {
      const end = this.buffer.indexOf('\r\n\r\n');
      if (end === -1) return;
      const length = Number(/Content-Length: (\d+)/i.exec(this.buffer.toString('ascii', 0, end))?.[1]);
      if (this.buffer.length < end + 4 + length) return;
      const body = this.buffer.toString('utf8', end + 4, end + 4 + length);
      this.buffer = this.buffer.subarray(end + 4 + length);
      this.take(JSON.parse(body) as Message);
    }
  }

  private take({ id, method, params, result, error }: Message): void {
    if (method === undefined && id !== undefined) {
      const one = this.waiting.get(id);
      this.waiting.delete(id);
      if (error === undefined) one?.resolve(result);
      else one?.reject(new Refused(error.code, error.message));
    } else if (method === 'textDocument/publishDiagnostics') this.published.push(params as Published);
    else if (method === 'window/logMessage') this.logged.push((params as { message: string }).message);
    else if (method !== undefined && id !== undefined) {
      this.requested.push(method);
      this.send({ jsonrpc: '2.0', id, result: null });
    }
    this.told();
  }

  private told(): void {
    for (const listener of [...this.listeners]) listener();
  }

  raw(text: string): void {
    this.child.stdin?.write(text);
  }

  private send(message: object): void {
    const body = Buffer.from(JSON.stringify(message));
    this.raw(`Content-Length: ${body.length}\r\n\r\n${body.toString('utf8')}`);
  }

  request<T>(method: string, params: unknown = null): Promise<T> {
    const id = ++this.last;
    return new Promise<T>((resolve, reject) => {
      this.waiting.set(id, { resolve: (result) => resolve(result as T), reject });
      this.send({ jsonrpc: '2.0', id, method, params });
    });
  }

  notify(method: string, params: unknown = {}): void {
    this.send({ jsonrpc: '2.0', method, params });
  }

  /** Waits until something holds; asked anew whenever the server speaks. */
  until<T>(holds: () => T | undefined | false): Promise<T> {
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => {
        this.listeners.delete(look);
        reject(new Error(`waited too long; the server said ${JSON.stringify(this.published.slice(-3))}`));
      }, LONGEST_WAIT);
      const look = (): void => {
        const found = holds();
        if (found === undefined || found === false) return;
        clearTimeout(timer);
        this.listeners.delete(look);
        resolve(found);
      };
      this.listeners.add(look);
      look();
    });
  }

  // what an editor does

  async initialize(options: { capabilities?: object; folders?: readonly string[]; options?: object } = {}): Promise<{
    capabilities: Record<string, unknown>;
  }> {
    const folders = (options.folders ?? ['']).map((folder) => ({ uri: this.uri(folder), name: folder }));
    const result = await this.request<{ capabilities: Record<string, unknown> }>('initialize', {
      processId: process.pid,
      rootUri: folders[0]?.uri ?? null,
      workspaceFolders: folders,
      capabilities: {
        general: { positionEncodings: ['utf-16'] },
        workspace: {
          workspaceFolders: true,
          workspaceEdit: { documentChanges: true },
          didChangeWatchedFiles: { dynamicRegistration: true },
          semanticTokens: { refreshSupport: true },
        },
        textDocument: {
          publishDiagnostics: { relatedInformation: true },
          completion: { completionItem: { snippetSupport: true } },
        },
        ...options.capabilities,
      },
      ...(options.options === undefined ? {} : { initializationOptions: options.options }),
    });
    this.notify('initialized');
    return result;
  }

  open(path: string, text: string): void {
    this.texts.set(path, { text, version: 1 });
    this.notify('textDocument/didOpen', {
      textDocument: { uri: this.uri(path), languageId: 'cellar', version: 1, text },
    });
  }

  text(path: string): string {
    return this.texts.get(path)?.text ?? '';
  }

  /** Types over a part of a buffer, as one change of a part of it. */
  type(path: string, start: number, end: number, instead: string): number {
    const known = this.texts.get(path);
    if (known === undefined) throw new Error(`${path} is not open`);
    const range = { start: placeOf(known.text, start), end: placeOf(known.text, end) };
    known.text = known.text.slice(0, start) + instead + known.text.slice(end);
    known.version++;
    this.notify('textDocument/didChange', {
      textDocument: { uri: this.uri(path), version: known.version },
      contentChanges: [{ range, text: instead }],
    });
    return known.version;
  }

  /** Puts the whole text of a buffer anew. */
  put(path: string, text: string): number {
    return this.type(path, 0, this.text(path).length, text);
  }

  close(path: string): void {
    this.texts.delete(path);
    this.notify('textDocument/didClose', { textDocument: { uri: this.uri(path) } });
  }

  at(path: string, position: Place): { textDocument: { uri: string }; position: Place } {
    return { textDocument: { uri: this.uri(path) }, position };
  }

  /** What was last said of a document. */
  lastOf(path: string): Published | undefined {
    const uri = this.uri(path);
    return this.published.findLast((one) => one.uri === uri);
  }

  /** What is said of a version of a document. */
  findings(path: string, version: number): Promise<readonly Diagnostic[]> {
    return this.until(() => {
      const last = this.lastOf(path);
      return last?.version === version ? last.diagnostics : undefined;
    });
  }
}

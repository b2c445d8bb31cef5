/** `ullage language-server --stdio`: tells an editor of a journal while it is written, over the language server protocol. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  type ClientCapabilities,
  CodeActionKind,
  type CompletionItem,
  type CompletionList,
  createConnection,
  DidChangeWatchedFilesNotification,
  ErrorCodes,
  type InitializeParams,
  type InitializeResult,
  LSPErrorCodes,
  MarkupKind,
  type Position,
  PositionEncodingKind,
  ResponseError,
  SemanticTokensRefreshRequest,
  TextDocumentSyncKind,
  TextDocuments,
  type WorkspaceFolder,
} from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { Code } from '../../grammar/codes.ts';
import { actionsIn } from '../editor/actions.ts';
import { coloursOf } from '../editor/colours.ts';
import { type Completion, completeAt } from '../editor/complete.ts';
import { foldsOf } from '../editor/folding.ts';
import { formattingOf } from '../editor/formatting.ts';
import { hoverAt } from '../editor/hover.ts';
import { declarationOf, type Meant, meantAt, Names, usesOf } from '../editor/names.ts';
import { outlineOf } from '../editor/outline.ts';
import { rename } from '../editor/rename.ts';
import { spotAt } from '../editor/spots.ts';
import type { Study } from '../editor/study.ts';
import { EXTENSION } from './journal-files.ts';
import type { OpenJournal } from './open-journal.ts';
import { OpenJournals, type Placed, pathOf } from './open-journals.ts';
import { packagePath } from './package-path.ts';
import {
  codeActionOf,
  completionItems,
  Documents,
  diagnosticOf,
  foldingRangeOf,
  LEGEND,
  semanticTokens,
  symbolOf,
} from './protocol.ts';
import { version } from './version.ts';

/** How long the keys have to rest before a journal is checked again, in milliseconds. */
const SETTLING = 120;
/** Lines of work folded before requests are listened to again. */
const SLICE = 800;

const isStrings = (value: unknown): value is readonly string[] =>
  Array.isArray(value) && value.every((one) => typeof one === 'string');

/** Where in a folder of the workspace journals lie: `{ "journals": ["2026", "2027"] }` of the initialization options. */
function journalsBelow(options: unknown): readonly string[] {
  if (typeof options !== 'object' || options === null || !('journals' in options)) return [];
  const { journals } = options;
  return isStrings(journals) ? journals : typeof journals === 'string' ? [journals] : [];
}

/** A place of a file that a request asks about. */
interface Asked {
  readonly study: Study;
  readonly documents: Documents;
  readonly file: number;
  readonly offset: number;
}

class Server {
  private readonly connection = createConnection(process.stdin, process.stdout);
  private readonly open = new TextDocuments(TextDocument);
  private journals = new OpenJournals([]);
  private capabilities: ClientCapabilities = {};
  private ready = false;
  private settling: NodeJS.Timeout | undefined;
  /** Rises with every change: work begun under a lower number is out of date. */
  private generation = 0;
  /** What was last told of each document. */
  private readonly told = new Map<string, { readonly journal: OpenJournal; readonly text: string }>();
  private readonly touched = new Set<string>();
  private namesTold = -1;
  private offered: Completion | undefined;
  private readonly pages = new Map<Code, string | undefined>();

  start(): void {
    const { connection, open } = this;
    connection.onInitialize((params) => this.initialize(params));
    connection.onInitialized(() => this.guard(() => this.initialized()));
    open.onDidChangeContent(({ document }) => this.guard(() => this.written(document)));
    open.onDidClose(({ document }) => this.guard(() => this.closed(document)));
    connection.onDidChangeWatchedFiles(() => this.guard(() => this.reload()));
    connection.onDidSaveTextDocument(() => this.guard(() => this.reload()));
    connection.onHover(({ textDocument, position }) => this.hover(textDocument.uri, position));
    connection.onCompletion(({ textDocument, position }) => this.complete(textDocument.uri, position));
    connection.onCompletionResolve((item) => this.resolved(item));
    connection.onDefinition(({ textDocument, position }) => this.definition(textDocument.uri, position));
    connection.onReferences(({ textDocument, position, context }) =>
      this.references(textDocument.uri, position, context.includeDeclaration),
    );
    connection.onDocumentHighlight(({ textDocument, position }) => this.highlights(textDocument.uri, position));
    connection.onPrepareRename(({ textDocument, position }) => this.prepareRename(textDocument.uri, position));
    connection.onRenameRequest(({ textDocument, position, newName }) =>
      this.rename(textDocument.uri, position, newName),
    );
    connection.onCodeAction(({ textDocument, range, context }) =>
      this.actions(textDocument.uri, range.start, range.end, context.only),
    );
    connection.onDocumentSymbol(({ textDocument }) => this.symbols(textDocument.uri));
    connection.onFoldingRanges(({ textDocument }) => this.folds(textDocument.uri));
    connection.onDocumentFormatting(({ textDocument }) => this.format(textDocument.uri));
    connection.languages.semanticTokens.on(({ textDocument }) => this.tokens(textDocument.uri));
    connection.languages.semanticTokens.onRange(({ textDocument, range }) =>
      this.tokens(textDocument.uri, range.start, range.end),
    );
    open.listen(connection);
    connection.listen();
  }

  // life

  private initialize(params: InitializeParams): InitializeResult {
    this.capabilities = params.capabilities;
    this.journals = new OpenJournals(journalsBelow(params.initializationOptions));
    const { rootUri } = params;
    const root: WorkspaceFolder[] = rootUri === null ? [] : [{ uri: rootUri, name: '' }];
    for (const folder of params.workspaceFolders ?? root) this.addFolder(folder);
    this.ready = true;
    return {
      serverInfo: { name: 'ullage', version: version() },
      capabilities: {
        positionEncoding: PositionEncodingKind.UTF16,
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
        hoverProvider: true,
        completionProvider: { triggerCharacters: [' ', '.', '"'], resolveProvider: true },
        definitionProvider: true,
        referencesProvider: true,
        documentHighlightProvider: true,
        renameProvider: { prepareProvider: true },
        codeActionProvider: { codeActionKinds: [CodeActionKind.QuickFix] },
        documentSymbolProvider: true,
        foldingRangeProvider: true,
        documentFormattingProvider: true,
        semanticTokensProvider: { legend: LEGEND, full: true, range: true },
        workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
      },
    };
  }

  private initialized(): void {
    const { workspace } = this.capabilities;
    if (workspace?.workspaceFolders === true)
      this.connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) =>
        this.guard(() => {
          for (const folder of removed) for (const journal of this.removeFolder(folder)) this.forget(journal);
          for (const folder of added) this.addFolder(folder);
          for (const document of this.open.all()) this.take(document);
          this.change();
        }),
      );
    if (workspace?.didChangeWatchedFiles?.dynamicRegistration === true)
      void this.connection.client.register(DidChangeWatchedFilesNotification.type, {
        watchers: [{ globPattern: `**/*${EXTENSION}` }],
      });
    this.change();
  }

  private addFolder({ uri }: WorkspaceFolder): void {
    const path = pathOf(uri);
    if (path !== undefined) this.journals.add(path);
  }

  private removeFolder({ uri }: WorkspaceFolder): OpenJournal[] {
    const path = pathOf(uri);
    return path === undefined ? [] : this.journals.remove(path);
  }

  /** A notification that fails is told of, and ends nothing. */
  private guard(work: () => void): void {
    try {
      work();
    } catch (error) {
      this.report(error);
    }
  }

  private report(error: unknown): void {
    this.connection.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
  }

  // what is written

  private take(document: TextDocument): Placed | undefined {
    const placed = this.journals.opened(document.uri);
    const { uri, version } = document;
    placed?.journal.write(placed.path, { uri, version, text: document.getText() });
    return placed;
  }

  private written(document: TextDocument): void {
    if (this.take(document) === undefined) return;
    this.touched.add(document.uri);
    this.change();
  }

  private closed(document: TextDocument): void {
    const placed = this.journals.of(document.uri);
    if (placed === undefined) return;
    placed.journal.close(placed.path);
    const gone = this.journals.closed(placed);
    if (gone !== undefined) this.forget(gone);
    this.change();
  }

  private reload(): void {
    for (const journal of this.journals.all()) journal.reload();
    this.change();
  }

  /** What was told of a journal that is no longer open is taken back. */
  private forget(journal: OpenJournal): void {
    for (const [uri, told] of this.told) if (told.journal === journal) this.clear(uri);
  }

  private clear(uri: string): void {
    this.told.delete(uri);
    void this.connection.sendDiagnostics({ uri, diagnostics: [] });
  }

  /** Checks again once the keys rest; what is under way is given up. */
  private change(): void {
    this.generation++;
    clearTimeout(this.settling);
    this.settling = setTimeout(() => {
      void this.check(this.generation);
    }, SETTLING);
  }

  private async check(generation: number): Promise<void> {
    for (const journal of this.journals.all()) {
      try {
        if (!(await this.fold(journal, generation))) return;
        this.publish(journal);
      } catch (error) {
        this.report(error);
      }
    }
    this.touched.clear();
    this.guard(() => this.refreshTokens());
  }

  /** Folds a journal to its end, listening in between; false where something changed meanwhile. */
  private async fold(journal: OpenJournal, generation: number): Promise<boolean> {
    while (!journal.current().advance(SLICE)) {
      await new Promise(setImmediate);
      if (generation !== this.generation) return false;
    }
    return true;
  }

  private documentsOf(journal: OpenJournal): Documents {
    return new Documents(journal.folder, journal.current().files, journal.buffers);
  }

  private publish(journal: OpenJournal): void {
    const documents = this.documentsOf(journal);
    const related = this.capabilities.textDocument?.publishDiagnostics?.relatedInformation === true;
    const byFile = new Map<number, ReturnType<typeof diagnosticOf>[]>(documents.files.map((_, file) => [file, []]));
    for (const finding of journal.findings()) {
      const known = byFile.get(finding.where.file);
      const diagnostic = diagnosticOf(finding, documents, related);
      if (known === undefined) byFile.set(finding.where.file, [diagnostic]);
      else known.push(diagnostic);
    }
    const now = new Set<string>();
    for (const [file, diagnostics] of byFile) {
      const uri = documents.uri(file);
      now.add(uri);
      const text = JSON.stringify(diagnostics);
      const before = this.told.get(uri)?.text ?? '[]';
      if (before === text && !this.touched.has(uri)) continue;
      this.told.set(uri, { journal, text });
      const version = documents.version(file);
      void this.connection.sendDiagnostics({ uri, diagnostics, ...(version === null ? {} : { version }) });
    }
    for (const [uri, told] of this.told) if (told.journal === journal && !now.has(uri)) this.clear(uri);
  }

  /** New names have colours of their own. */
  private refreshTokens(): void {
    let names = 0;
    for (const journal of this.journals.all()) {
      const { register } = journal.current().known() ?? {};
      if (register !== undefined)
        names += register.vessels.length + register.lots.length + register.materials.length + register.blocks.length;
    }
    if (names === this.namesTold) return;
    this.namesTold = names;
    if (this.capabilities.workspace?.semanticTokens?.refreshSupport === true)
      void this.connection.sendRequest(SemanticTokensRefreshRequest.type);
  }

  // requests

  private asked(uri: string, position: Position): (Asked & { readonly journal: OpenJournal }) | undefined {
    if (!this.ready) throw new ResponseError(ErrorCodes.ServerNotInitialized, 'the server is not initialized');
    const placed = this.journals.of(uri);
    if (placed === undefined) return undefined;
    const { journal, path } = placed;
    const file = journal.fileOf(path);
    if (file === -1) return undefined;
    const documents = this.documentsOf(journal);
    return { journal, study: journal.current(), documents, file, offset: documents.document(file).offsetAt(position) };
  }

  /** As `asked`, once the whole journal has been folded; an edit in the meantime makes the answer void. */
  private async askedOfAll(uri: string, position: Position) {
    const asked = this.asked(uri, position);
    if (asked === undefined) return undefined;
    if (!(await this.fold(asked.journal, this.generation)))
      throw new ResponseError(LSPErrorCodes.ContentModified, 'the journal was changed meanwhile');
    return this.asked(uri, position);
  }

  /** As `asked`, once the day of the place has been folded; what stands above all days waits for the whole record. */
  private async askedHere(uri: string, position: Position) {
    const asked = this.asked(uri, position);
    if (asked === undefined) return undefined;
    const day = spotAt(asked.study, asked.file, asked.offset)?.day;
    if (day === undefined) return this.askedOfAll(uri, position);
    asked.study.reach(day);
    return asked;
  }

  private async hover(uri: string, position: Position) {
    const asked = await this.askedHere(uri, position);
    if (asked === undefined) return null;
    const { journal, study, documents, file, offset } = asked;
    const hover = hoverAt(study, file, offset, {
      findings: study.isDone ? journal.findings() : [],
      explain: (code) => this.page(code),
    });
    return hover === undefined
      ? null
      : { contents: { kind: MarkupKind.Markdown, value: hover.markdown }, range: documents.range(hover) };
  }

  /** What `ullage explain` prints. */
  private page(code: Code): string | undefined {
    if (!this.pages.has(code)) {
      const path = join(packagePath('grammar/findings'), `${code}.md`);
      this.pages.set(code, existsSync(path) ? readFileSync(path, 'utf8') : undefined);
    }
    return this.pages.get(code);
  }

  private complete(uri: string, position: Position): CompletionList {
    const asked = this.asked(uri, position);
    this.offered = asked === undefined ? undefined : completeAt(asked.study, asked.file, asked.offset);
    if (asked === undefined || this.offered === undefined) return { isIncomplete: false, items: [] };
    const snippets = this.capabilities.textDocument?.completion?.completionItem?.snippetSupport === true;
    const items = completionItems(this.offered, asked.documents, snippets);
    return { isIncomplete: this.offered.more, items };
  }

  private resolved(item: CompletionItem): CompletionItem {
    const index: unknown = item.data;
    const candidate = typeof index === 'number' ? this.offered?.candidates[index] : undefined;
    if (candidate?.documentation === undefined || candidate.label !== item.label) return item;
    return { ...item, documentation: { kind: MarkupKind.Markdown, value: candidate.documentation() } };
  }

  private meant({ study, file, offset }: Asked): { meant: Meant; names: Names; start: number } | undefined {
    const spot = spotAt(study, file, offset);
    const known = study.known();
    if (spot === undefined || known === undefined) return undefined;
    const names = new Names(study, known);
    const meant = meantAt(spot, names);
    return meant === undefined ? undefined : { meant, names, start: spot.start };
  }

  private async definition(uri: string, position: Position) {
    const asked = await this.askedHere(uri, position);
    const found = asked === undefined ? undefined : this.meant(asked);
    const range =
      asked === undefined || found === undefined
        ? undefined
        : declarationOf(asked.study, found.names, found.meant.thing);
    return asked === undefined || range === undefined ? null : asked.documents.location(range);
  }

  private async references(uri: string, position: Position, declaration: boolean) {
    const asked = await this.askedOfAll(uri, position);
    const found = asked === undefined ? undefined : this.meant(asked);
    if (asked === undefined || found === undefined) return null;
    const { study, documents } = asked;
    const given = declarationOf(study, found.names, found.meant.thing);
    return usesOf(study, found.names, found.meant.thing)
      .filter((use) => declaration || use.file !== given?.file || use.start !== given.start)
      .map((use) => documents.location(use));
  }

  private async highlights(uri: string, position: Position) {
    const asked = await this.askedOfAll(uri, position);
    const found = asked === undefined ? undefined : this.meant(asked);
    if (asked === undefined || found === undefined) return null;
    const uses = usesOf(asked.study, found.names, found.meant.thing, asked.file);
    return uses.map((use) => ({ range: asked.documents.range(use) }));
  }

  private async prepareRename(uri: string, position: Position) {
    const asked = await this.askedOfAll(uri, position);
    const found = asked === undefined ? undefined : this.meant(asked);
    if (asked === undefined || found === undefined) return null;
    const { start, end, name } = found.meant;
    const range = { file: asked.file, start: found.start + start, end: found.start + end };
    return { range: asked.documents.range(range), placeholder: name };
  }

  private async rename(uri: string, position: Position, to: string) {
    const asked = await this.askedOfAll(uri, position);
    const found = asked === undefined ? undefined : this.meant(asked);
    if (asked === undefined || found === undefined)
      throw new ResponseError(LSPErrorCodes.RequestFailed, 'nothing stands here that has a name');
    const renamed = rename(asked.study, found.names, found.meant, to);
    if ('refused' in renamed) throw new ResponseError(LSPErrorCodes.RequestFailed, renamed.refused);
    return asked.documents.workspaceEdit(renamed.edits, this.versioned);
  }

  private get versioned(): boolean {
    return this.capabilities.workspace?.workspaceEdit?.documentChanges === true;
  }

  private async actions(uri: string, from: Position, to: Position, only: readonly string[] | undefined) {
    if (only !== undefined && !only.some((kind) => kind === '' || CodeActionKind.QuickFix.startsWith(kind))) return [];
    const asked = await this.askedOfAll(uri, from);
    if (asked === undefined) return null;
    const { journal, study, documents, file, offset } = asked;
    const end = documents.document(file).offsetAt(to);
    return actionsIn(study.files, journal.findings(), { file, start: offset, end }).map((action) =>
      codeActionOf(action, documents, this.versioned),
    );
  }

  private symbols(uri: string) {
    const asked = this.asked(uri, { line: 0, character: 0 });
    if (asked === undefined) return null;
    return outlineOf(asked.study, asked.file).map((item) => symbolOf(item, asked.documents, asked.file));
  }

  private folds(uri: string) {
    const asked = this.asked(uri, { line: 0, character: 0 });
    return asked === undefined ? null : foldsOf(asked.study, asked.file).map(foldingRangeOf);
  }

  private async format(uri: string) {
    const asked = await this.askedOfAll(uri, { line: 0, character: 0 });
    if (asked === undefined) return null;
    return formattingOf(asked.study, asked.file).map((edit) => asked.documents.textEdit(edit));
  }

  private tokens(uri: string, from?: Position, to?: Position) {
    const asked = this.asked(uri, from ?? { line: 0, character: 0 });
    if (asked === undefined) return { data: [] };
    const { study, documents, file, offset } = asked;
    const document = documents.document(file);
    const end = to === undefined ? undefined : document.offsetAt(to);
    return { data: semanticTokens(coloursOf(study, file, offset, end), document) };
  }
}

/** Speaks with an editor over standard input and output until it says that it is done. */
export function languageServer(): void {
  new Server().start();
}

/** From what the editor room says, in offsets, to what the language server protocol says, in lines and characters. */
import { pathToFileURL } from 'node:url';
import {
  CodeActionKind,
  type CompletionItem,
  CompletionItemKind,
  type Diagnostic,
  DiagnosticSeverity,
  type DocumentSymbol,
  type FoldingRange,
  FoldingRangeKind,
  InsertTextFormat,
  type Location,
  type Range as ProtocolRange,
  SemanticTokenModifiers,
  SemanticTokenTypes,
  SymbolKind,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { Severity } from '../../grammar/codes.ts';
import { type Action, rangeOf } from '../editor/actions.ts';
import type { Colour, Coloured } from '../editor/colours.ts';
import type { CandidateKind, Completion } from '../editor/complete.ts';
import type { Fold } from '../editor/folding.ts';
import type { Range } from '../editor/names.ts';
import type { OutlineItem } from '../editor/outline.ts';
import type { Edit } from '../editor/rename.ts';
import { lineStarts } from '../editor/spots.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';

/** The files of a journal as documents: their addresses, and lines and characters for offsets. */
export class Documents {
  readonly files: readonly SourceFile[];
  private readonly folder: string;
  /** The address an editor gave an open file, by path. */
  private readonly addresses: ReadonlyMap<string, { readonly uri: string; readonly version: number }>;
  private readonly documents = new Map<number, TextDocument>();
  private readonly starts = new Map<number, readonly number[]>();

  constructor(
    folder: string,
    files: readonly SourceFile[],
    addresses: ReadonlyMap<string, { readonly uri: string; readonly version: number }>,
  ) {
    this.folder = folder;
    this.files = files;
    this.addresses = addresses;
  }

  uri(file: number): string {
    const path = this.files[file]?.path;
    if (path === undefined) return pathToFileURL(this.folder).href;
    return this.addresses.get(path)?.uri ?? pathToFileURL(`${this.folder}/${path}`).href;
  }

  version(file: number): number | null {
    return this.addresses.get(this.files[file]?.path ?? '')?.version ?? null;
  }

  document(file: number): TextDocument {
    const known = this.documents.get(file);
    if (known !== undefined) return known;
    const made = TextDocument.create(this.uri(file), 'cellar', 0, this.files[file]?.text ?? '');
    this.documents.set(file, made);
    return made;
  }

  range({ file, start, end }: Range): ProtocolRange {
    const document = this.document(file);
    return { start: document.positionAt(start), end: document.positionAt(end) };
  }

  location(range: Range): Location {
    return { uri: this.uri(range.file), range: this.range(range) };
  }

  place(where: Finding['where']): ProtocolRange {
    const { file } = where;
    const text = this.files[file]?.text ?? '';
    let starts = this.starts.get(file);
    if (starts === undefined) {
      starts = lineStarts(text);
      this.starts.set(file, starts);
    }
    return this.range(rangeOf(starts, text, where));
  }

  textEdit(edit: Edit): TextEdit {
    return { range: this.range(edit), newText: edit.text };
  }

  workspaceEdit(edits: readonly Edit[], versioned: boolean): WorkspaceEdit {
    const files = [...new Set(edits.map(({ file }) => file))];
    const of = (file: number): TextEdit[] =>
      edits.filter((edit) => edit.file === file).map((edit) => this.textEdit(edit));
    return versioned
      ? {
          documentChanges: files.map((file) => ({
            textDocument: { uri: this.uri(file), version: this.version(file) },
            edits: of(file),
          })),
        }
      : { changes: Object.fromEntries(files.map((file) => [this.uri(file), of(file)])) };
  }
}

const SEVERITIES: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  note: DiagnosticSeverity.Information,
};

/** A finding with its help, as the command line words it. */
export function diagnosticOf(finding: Finding, documents: Documents, related: boolean): Diagnostic {
  const { code, severity, where, message, help } = finding;
  return {
    range: documents.place(where),
    severity: SEVERITIES[severity],
    code,
    source: 'ullage',
    message: help === undefined ? message : `${message}\ninstead: ${help}`,
    ...(related && finding.related.length > 0
      ? {
          relatedInformation: finding.related.map((one) => ({
            location: { uri: documents.uri(one.where.file), range: documents.place(one.where) },
            message: one.message,
          })),
        }
      : {}),
  };
}

export function codeActionOf(action: Action, documents: Documents, versioned: boolean) {
  return {
    title: action.title,
    kind: CodeActionKind.QuickFix,
    diagnostics: [diagnosticOf(action.finding, documents, false)],
    isPreferred: action.only,
    edit: documents.workspaceEdit([action.edit], versioned),
  };
}

const ITEM_KINDS: Readonly<Record<CandidateKind, CompletionItemKind>> = {
  verb: CompletionItemKind.Keyword,
  word: CompletionItemKind.Operator,
  vessel: CompletionItemKind.Class,
  lot: CompletionItemKind.Variable,
  block: CompletionItemKind.Struct,
  sample: CompletionItemKind.Value,
  material: CompletionItemKind.EnumMember,
  hand: CompletionItemKind.Constant,
  plan: CompletionItemKind.Interface,
  unit: CompletionItemKind.Unit,
  analyte: CompletionItemKind.Property,
  day: CompletionItemKind.Event,
  line: CompletionItemKind.Snippet,
};

export function completionItems({ replaces, candidates }: Completion, documents: Documents, snippets: boolean) {
  const range = documents.range(replaces);
  const typed = documents.files[replaces.file]?.text.slice(replaces.start, replaces.end) ?? '';
  return candidates.flatMap((candidate, index): CompletionItem[] => {
    const { label, kind, insert, detail } = candidate;
    if (kind === 'line' && !snippets) return [];
    return [
      {
        label,
        kind: ITEM_KINDS[kind],
        detail,
        sortText: String(index).padStart(5, '0'),
        // what was typed may begin with a quote
        filterText: typed.startsWith('"') ? `"${label}"` : label,
        textEdit: { range, newText: insert },
        insertTextFormat: kind === 'line' ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
        data: index,
      },
    ];
  });
}

const SYMBOL_KINDS: Readonly<Record<OutlineItem['kind'], SymbolKind>> = {
  day: SymbolKind.Namespace,
  entry: SymbolKind.Event,
  standing: SymbolKind.Constant,
};

export function symbolOf(item: OutlineItem, documents: Documents, file: number): DocumentSymbol {
  const { name, detail, kind, start, end, lineStart, lineEnd, children } = item;
  return {
    name: name === '' ? '?' : name,
    detail,
    kind: SYMBOL_KINDS[kind],
    range: documents.range({ file, start, end: Math.max(end, lineEnd) }),
    selectionRange: documents.range({ file, start: lineStart, end: lineEnd }),
    children: children.map((child) => symbolOf(child, documents, file)),
  };
}

export const foldingRangeOf = ({ first, last, kind }: Fold): FoldingRange => ({
  startLine: first - 1,
  endLine: last - 1,
  ...(kind === 'comment' ? { kind: FoldingRangeKind.Comment } : {}),
  ...(kind === 'day' ? { kind: FoldingRangeKind.Region } : {}),
});

const TOKEN_TYPES: Readonly<Record<Colour, SemanticTokenTypes>> = {
  verb: SemanticTokenTypes.keyword,
  link: SemanticTokenTypes.operator,
  clause: SemanticTokenTypes.modifier,
  quantity: SemanticTokenTypes.modifier,
  struck: SemanticTokenTypes.modifier,
  number: SemanticTokenTypes.number,
  unit: SemanticTokenTypes.type,
  sign: SemanticTokenTypes.operator,
  date: SemanticTokenTypes.namespace,
  time: SemanticTokenTypes.decorator,
  text: SemanticTokenTypes.string,
  code: SemanticTokenTypes.string,
  comment: SemanticTokenTypes.comment,
  remark: SemanticTokenTypes.comment,
  note: SemanticTokenTypes.comment,
  analyte: SemanticTokenTypes.property,
  vessel: SemanticTokenTypes.class,
  lot: SemanticTokenTypes.variable,
  block: SemanticTokenTypes.struct,
  sample: SemanticTokenTypes.variable,
  material: SemanticTokenTypes.enumMember,
  hand: SemanticTokenTypes.parameter,
  plan: SemanticTokenTypes.interface,
};

const TYPES = [...new Set(Object.values(TOKEN_TYPES))].sort();
const MODIFIERS = [
  SemanticTokenModifiers.declaration,
  SemanticTokenModifiers.deprecated,
  SemanticTokenModifiers.documentation,
];

/** What the numbers of semantic tokens mean. */
export const LEGEND = { tokenTypes: TYPES, tokenModifiers: MODIFIERS };

/** Tokens as the protocol has them: five numbers each, relative to the one before. */
export function semanticTokens(parts: readonly Coloured[], document: TextDocument): number[] {
  const data: number[] = [];
  let lastLine = 0;
  let lastCharacter = 0;
  for (const { start, end, colour, gives, struck } of parts) {
    const from = document.positionAt(start);
    const to = document.positionAt(end);
    // a token ends with its line
    const length = to.line === from.line ? to.character - from.character : 0;
    if (length <= 0) continue;
    const modifiers = (gives ? 1 : 0) | (struck ? 2 : 0) | (colour === 'remark' || colour === 'note' ? 4 : 0);
    const line = from.line - lastLine;
    data.push(line, line === 0 ? from.character - lastCharacter : from.character, length);
    data.push(TYPES.indexOf(TOKEN_TYPES[colour]), modifiers);
    lastLine = from.line;
    lastCharacter = from.character;
  }
  return data;
}

/** Findings as a log of SARIF 2.1.0, the interchange format for the results of checks (OASIS standard of 2020). */
import { CODES, type Code, type Severity } from '../../grammar/codes.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Finding, Where } from '../journal/findings.ts';
import { explanationModels } from './explanation.ts';

export interface SarifOptions {
  /** The version of the program. */
  readonly version: string;
  /** The page of each code, as Markdown. */
  readonly pages: ReadonlyMap<string, string>;
  /** The journal's folder from where the check was run, with `/`, empty for that itself; undefined for one not below it. */
  readonly folder: string | undefined;
  /** False where the folder could not be read. */
  readonly done: boolean;
}

const LEVEL: Readonly<Record<Severity, 'error' | 'warning' | 'note'>> = {
  error: 'error',
  warning: 'warning',
  note: 'note',
};

/** The bases that relative addresses count from. */
const JOURNAL = 'JOURNAL';
const SRCROOT = 'SRCROOT';

/** A path as a relative address: every part percent-encoded, so that none is taken for a scheme. */
const relativeUri = (path: string): string =>
  path
    .split('/')
    .map((part) => encodeURIComponent(part.replace(/\p{Cs}/gu, '\ufffd')))
    .join('/');

/** The address of a folder ends in a stroke. */
const folderUri = (path: string): string => (path === '' ? './' : `${relativeUri(path)}/`);

/** `lots-meet` as `LotsMeet`: names are words without blanks. */
const nameOf = (code: string): string =>
  code
    .split('-')
    .map((word) => word.charAt(0).toUpperCase() + word.slice(1))
    .join('');

/** The paragraphs before the first heading, the lines of each joined. */
function introduction(markdown: string): string {
  const [before = ''] = markdown.trim().split(/^## /m);
  return before
    .trim()
    .split(/\n{2,}/)
    .map((paragraph) => paragraph.replaceAll('\n', ' '))
    .join('\n\n');
}

function rules(pages: ReadonlyMap<string, string>) {
  return explanationModels(pages).map(({ code, title, severity, text }) => ({
    id: code,
    name: nameOf(code),
    shortDescription: { text: title },
    ...(text === '' ? {} : { fullDescription: { text: introduction(text) }, help: { text, markdown: text } }),
    defaultConfiguration: { level: LEVEL[severity] },
  }));
}

interface FileLines {
  readonly path: string;
  readonly lines: readonly string[];
}

/** A place; undefined where it is about the folder as a whole. */
function location(where: Where, files: readonly FileLines[]) {
  const file = files[where.file];
  if (file === undefined) return undefined;
  const artifactLocation = { uri: relativeUri(file.path), uriBaseId: JOURNAL };
  if (where.line === 0) return { physicalLocation: { artifactLocation } };
  // a place may go on in the line below, where a comma joins the two; what is marked ends with its line
  const end = Math.max(where.column + 1, Math.min(where.endColumn, (file.lines[where.line - 1] ?? '').length + 1));
  return {
    physicalLocation: {
      artifactLocation,
      region: { startLine: where.line, startColumn: where.column, endLine: where.line, endColumn: end },
    },
  };
}

/** The one run of a check, as plain data. Columns count UTF-16 code units from 1, the end one past the last. */
export function findingsSarif(findings: readonly Finding[], sources: readonly SourceFile[], options: SarifOptions) {
  const files = sources.map(
    ({ path, text }): FileLines => ({ path, lines: text.replace(/^\ufeff/, '').split(/\r?\n/) }),
  );
  const index = new Map((Object.keys(CODES) as Code[]).map((code, i) => [code, i]));
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Ullage', version: options.version, rules: rules(options.pages) } },
        invocations: [{ executionSuccessful: options.done }],
        originalUriBaseIds: {
          [JOURNAL]: {
            ...(options.folder === undefined ? {} : { uri: folderUri(options.folder), uriBaseId: SRCROOT }),
            description: { text: 'The folder of the journal.' },
          },
          ...(options.folder === undefined
            ? {}
            : { [SRCROOT]: { description: { text: 'The folder the check was run in.' } } }),
        },
        columnKind: 'utf16CodeUnits',
        results: findings.map((finding) => {
          const place = location(finding.where, files);
          const related = finding.related.flatMap((one) => {
            const at = location(one.where, files);
            return at === undefined ? [] : [{ ...at, message: { text: one.message } }];
          });
          return {
            ruleId: finding.code,
            ruleIndex: index.get(finding.code) ?? -1,
            level: LEVEL[finding.severity],
            message: {
              text: finding.help === undefined ? finding.message : `${finding.message}\nInstead: ${finding.help}`,
            },
            ...(place === undefined ? {} : { locations: [place] }),
            ...(related.length === 0 ? {} : { relatedLocations: related.map((one, id) => ({ id, ...one })) }),
          };
        }),
      },
    ],
  };
}

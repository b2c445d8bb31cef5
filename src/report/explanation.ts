/** The page that explains a finding: its title and severity, and the text somebody wrote about it. */
import { CODES, type Code, type Severity } from '../../grammar/codes.ts';

export interface ExplanationModel {
  readonly path: string;
  readonly code: Code;
  readonly title: string;
  readonly severity: Severity;
  /** Markdown, without its heading; empty where nobody has written it yet. */
  readonly text: string;
}

/** Every code, in the order of the catalogue. `texts`: Markdown by code. */
export function explanationModels(texts: ReadonlyMap<string, string>): ExplanationModel[] {
  return (Object.keys(CODES) as Code[]).map((code) => ({
    path: `help/${code}.html`,
    code,
    title: CODES[code].title,
    severity: CODES[code].severity,
    text: (texts.get(code) ?? '').replace(/^\s*#[^\n]*\n/u, ''),
  }));
}

export interface ExplanationsModel {
  readonly path: string;
  readonly groups: readonly { readonly title: string; readonly rows: readonly ExplanationModel[] }[];
}

/** The list of all explanations, the gravest first. */
export function explanationsModel(models: readonly ExplanationModel[]): ExplanationsModel {
  const of = (severity: Severity): readonly ExplanationModel[] => models.filter((model) => model.severity === severity);
  return {
    path: 'help.html',
    groups: [
      { title: 'Errors', rows: of('error') },
      { title: 'Warnings', rows: of('warning') },
      { title: 'Notes', rows: of('note') },
    ],
  };
}

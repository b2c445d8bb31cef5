/** The version of the program, as the package tells it. */
import { readFileSync } from 'node:fs';
import { packagePath } from './package-path.ts';

export function version(): string {
  const parsed: unknown = JSON.parse(readFileSync(packagePath('package.json'), 'utf8'));
  return typeof parsed === 'object' && parsed !== null && 'version' in parsed ? String(parsed.version) : '';
}

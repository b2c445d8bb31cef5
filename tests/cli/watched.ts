/** Runs `ullage watch` beside a test, and waits for what it says. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PROGRAM, ROOT } from './run.ts';

const LONGEST_MS = 60_000;

export class Watched {
  readonly out: string;
  said = '';
  private readonly child: ChildProcess;
  /** What was said up to here has been waited for. */
  private seen = 0;
  private readonly scratch = mkdtempSync(join(tmpdir(), 'ullage-watched-'));
  private readonly ended: Promise<number | null>;

  constructor(folder: string, args: readonly string[] = [], out = true) {
    this.out = join(this.scratch, 'site');
    const { NO_COLOR: _, FORCE_COLOR: __, NODE_OPTIONS: ___, ...env } = process.env;
    const where = out ? ['--out', this.out] : [];
    this.child = spawn(process.execPath, [PROGRAM, 'watch', folder, ...where, '--port', '0', ...args], {
      cwd: ROOT,
      env: { ...env, TMPDIR: this.scratch },
    });
    const hear = (data: Buffer): void => {
      this.said += data.toString();
    };
    this.child.stdout?.on('data', hear);
    this.child.stderr?.on('data', hear);
    this.ended = new Promise((done) => {
      this.child.on('exit', (code) => done(code));
    });
  }

  get temporary(): string {
    return this.scratch;
  }

  /** The next time it says something like this; what was said before that counts as heard. */
  async until(what: RegExp): Promise<RegExpExecArray> {
    const started = Date.now();
    for (;;) {
      const found = what.exec(this.said.slice(this.seen));
      if (found !== null) {
        this.seen += found.index + found[0].length;
        return found;
      }
      if (Date.now() - started > LONGEST_MS) throw new Error(`never said ${what}; it said:\n${this.said}`);
      await new Promise((done) => setTimeout(done, 10));
    }
  }

  /** The address of the preview, once there is one. */
  async address(): Promise<string> {
    const [, address = ''] = await this.until(/(http:\/\/localhost:\d+)\/ shows it/);
    return address;
  }

  /** The next round of work: what it said of it. */
  async round(): Promise<string> {
    const from = this.seen;
    await this.until(/\d+ files? written in \d+ ms: .*\n/);
    return this.said.slice(from, this.seen);
  }

  /** Ends it as a person would; gives its exit code. */
  async end(signal: NodeJS.Signals = 'SIGINT'): Promise<number | null> {
    this.child.kill(signal);
    return this.ended;
  }

  async remove(): Promise<void> {
    this.child.kill('SIGKILL');
    await this.ended;
    rmSync(this.scratch, { recursive: true, force: true });
  }
}

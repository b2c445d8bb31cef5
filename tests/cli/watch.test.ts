/** `ullage watch`: however a file is saved, the site on the disk is what a build from scratch writes. */
import {
  appendFileSync,
  chmodSync,
  closeSync,
  copyFileSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  truncateSync,
  unlinkSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { request } from 'node:http';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { folderOf, ullage } from './run.ts';
import { Watched } from './watched.ts';

const JOURNAL = {
  'cellar.cellar': `cellar "Sorrel Yard"
vessel T1..T4 tank 1200 L
block ledge-2 Syrah
`,
  '2026/01.cellar': `2026-01-12 Mon
found T1 800 L as GR of ledge-2, vintage 2025

2026-01-14 Wed
10:00 transfer T1 100 L to T2
`,
};
const MONTH = '2026/01.cellar';

let folder: string;
let watched: Watched;
beforeEach(() => {
  folder = folderOf(JOURNAL);
});
afterEach(async () => {
  await watched.remove();
  rmSync(folder, { recursive: true, force: true });
});

const at = (path: string): string => join(folder, path);
const wait = (milliseconds: number): Promise<void> => new Promise((done) => setTimeout(done, milliseconds));

function pagesIn(site: string): Map<string, string> {
  return new Map(
    readdirSync(site, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name !== '.ullage-site.json')
      .map((entry) => join(entry.parentPath, entry.name).slice(site.length + 1))
      .sort()
      .map((path): [string, string] => [path, readFileSync(join(site, path), 'utf8')]),
  );
}

/** The site as it would be built anew from what the folder holds. */
function scratchPages(): Map<string, string> {
  const site = join(watched.temporary, 'scratch');
  rmSync(site, { recursive: true, force: true });
  ullage(['build', folder, '--out', site]);
  return pagesIn(site);
}

const sameAsScratch = (): void => expect(pagesIn(watched.out)).toEqual(scratchPages());

async function begun(args: readonly string[] = []): Promise<string> {
  watched = new Watched(folder, args);
  return watched.address();
}

describe('after a save', () => {
  test('findings that are new and gone are told, and nothing else', async () => {
    await begun();
    appendFileSync(at(MONTH), '11:00 transfer T1 900 L to T3\n');
    const wrong = await watched.round();
    expect(wrong).toContain('vessel-overdrawn');
    expect(wrong).toContain('1 error');
    // the same finding lower down is no news
    writeFileSync(at(MONTH), `# a line above\n${readFileSync(at(MONTH), 'utf8')}`);
    expect(await watched.round()).not.toContain('vessel-overdrawn');
    writeFileSync(at(MONTH), JOURNAL[MONTH]);
    const mended = await watched.round();
    expect(mended).toMatch(/gone {2}vessel-overdrawn/);
    expect(mended).toContain('0 errors');
    sameAsScratch();
  });

  test('only pages that changed are written', async () => {
    await begun();
    const before = pagesIn(watched.out);
    appendFileSync(at(MONTH), '11:00 note T1 -- smells of quince\n');
    const [, count = ''] = /(\d+) files? written/.exec(await watched.round()) ?? [];
    const after = pagesIn(watched.out);
    const changed = [...after].filter(([path, text]) => before.get(path) !== text).map(([path]) => path);
    expect(Number(count)).toBe(changed.length);
    expect(changed).toContain('lots/gr.html');
    expect(changed).not.toContain('help/vessel-overdrawn.html');
    expect(changed).not.toContain('vessels/t4.html');
    sameAsScratch();
  });
});

describe('however an editor saves', () => {
  const after = `${JOURNAL[MONTH]}11:00 transfer T1 50 L to T3\n`;
  test.each<[how: string, save: () => Promise<void> | void]>([
    ['in place', () => writeFileSync(at(MONTH), after)],
    [
      'under another name, then renamed',
      () => {
        writeFileSync(at('2026/.01.cellar.swp'), 'swap');
        writeFileSync(at('2026/01.cellar.tmp'), after);
        renameSync(at('2026/01.cellar.tmp'), at(MONTH));
        unlinkSync(at('2026/.01.cellar.swp'));
      },
    ],
    [
      'with the old one renamed to a backup first',
      async () => {
        writeFileSync(at('2026/.#01.cellar'), 'lock');
        renameSync(at(MONTH), at('2026/01.cellar~'));
        await wait(80);
        writeFileSync(at(MONTH), after);
        unlinkSync(at('2026/.#01.cellar'));
      },
    ],
    [
      'emptied, and written a while later',
      async () => {
        truncateSync(at(MONTH), 0);
        await wait(120);
        writeFileSync(at(MONTH), after);
      },
    ],
    [
      'piece by piece',
      async () => {
        const handle = openSync(at(MONTH), 'w');
        for (const line of after.split(/(?<=\n)/)) {
          writeSync(handle, line);
          await wait(15);
        }
        closeSync(handle);
      },
    ],
    [
      'many times in a burst',
      async () => {
        for (let i = 0; i < 30; i++) {
          writeFileSync(at(MONTH), `${JOURNAL[MONTH]}11:00 transfer T1 ${i + 1} L to T3\n`);
          await wait(i % 3);
        }
        writeFileSync(at(MONTH), after);
      },
    ],
  ])('%s', async (_, save) => {
    await begun();
    await save();
    for (;;) {
      await watched.round();
      if (readFileSync(join(watched.out, 'vessels/t3.html'), 'utf8').includes('50')) break;
    }
    await wait(400);
    expect(watched.said).not.toContain('journal-empty');
    expect(watched.said).not.toContain('name-unknown');
    sameAsScratch();
  });
});

describe('files that come and go', () => {
  test('a new one, in a new folder, and one that is deleted', async () => {
    await begun();
    mkdirSync(at('2026/late'));
    writeFileSync(at('2026/late/02.cellar'), '2026-02-01 Sun\n09:00 transfer T1 10 L to T4\n');
    await watched.round();
    expect(pagesIn(watched.out).has('journal/2026-late-02.html')).toBe(true);
    sameAsScratch();
    unlinkSync(at('2026/late/02.cellar'));
    await watched.round();
    expect(pagesIn(watched.out).has('journal/2026-late-02.html')).toBe(false);
    sameAsScratch();
  });

  test('one that is renamed', async () => {
    await begun();
    renameSync(at(MONTH), at('2026/january.cellar'));
    await watched.until(/written in/);
    await wait(600);
    expect(pagesIn(watched.out).has('journal/2026-january.html')).toBe(true);
    sameAsScratch();
  });

  test('one that nobody may read for a while', async () => {
    await begun();
    // whoever may read everything reads a folder of that name no better
    const text = readFileSync(at(MONTH));
    unlinkSync(at(MONTH));
    mkdirSync(at(MONTH));
    await watched.round();
    rmSync(at(MONTH), { recursive: true });
    writeFileSync(at(MONTH), text, { mode: 0o000 });
    if (process.getuid?.() !== 0) await watched.until(/file-unreadable/);
    chmodSync(at(MONTH), 0o644);
    await watched.round();
    await wait(300);
    sameAsScratch();
  });

  test('the whole folder, moved away and back', async () => {
    await begun();
    const away = `${folder}-away`;
    renameSync(folder, away);
    await watched.until(/waiting for it/);
    expect(pagesIn(watched.out).has('index.html')).toBe(true);
    renameSync(away, folder);
    await watched.until(/is back/);
    appendFileSync(at(MONTH), '11:00 transfer T1 50 L to T3\n');
    await watched.round();
    sameAsScratch();
  });

  test('other files, hidden ones and the site itself are none of its business', async () => {
    await begun(['--on', '2026-01-13']);
    mkdirSync(at('.hidden'));
    for (const path of ['notes.txt', '01.cellar.bak', '.hidden/x.cellar', '2026/.x.cellar'])
      copyFileSync(at(MONTH), at(path));
    await wait(1500);
    expect(watched.said.match(/written in/g)).toHaveLength(1);
  });
});

/** An answer of the preview, asked without any tidying up of the path. */
function ask(
  address: string,
  path: string,
  { method = 'GET', host, family = 4 }: { method?: string; host?: string; family?: 4 | 6 } = {},
): Promise<{ status: number | undefined; text: string; headers: Record<string, unknown> }> {
  const { port } = new URL(address);
  return new Promise((done, failed) => {
    const asked = request(
      {
        host: family === 4 ? '127.0.0.1' : '::1',
        port,
        path,
        method,
        headers: { Host: host ?? `localhost:${port}`, Connection: 'close' },
      },
      (response) => {
        let text = '';
        response.setEncoding('utf8');
        response.on('data', (piece: string) => {
          text += piece;
        });
        response.on('end', () => done({ status: response.statusCode, text, headers: response.headers }));
      },
    );
    asked.on('error', failed);
    asked.end();
  });
}

describe('the preview', () => {
  test('gives pages as what they are, with a script that no file on the disk has', async () => {
    const address = await begun();
    const page = await ask(address, '/');
    expect(page).toMatchObject({
      status: 200,
      headers: { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store' },
    });
    expect(page.text).toContain('src="/.ullage/preview.js"');
    expect(page.text).toContain("connect-src 'self'");
    for (const [path, text] of pagesIn(watched.out)) expect(text, path).not.toContain('/.ullage/');
    expect((await ask(address, '/style.css')).headers).toMatchObject({ 'content-type': 'text/css; charset=utf-8' });
    expect((await ask(address, '/search-index.js?x')).headers).toMatchObject({
      'content-type': 'text/javascript; charset=utf-8',
    });
    expect((await ask(address, '/icon.svg')).headers).toMatchObject({ 'content-type': 'image/svg+xml; charset=utf-8' });
    expect((await ask(address, '/.ullage/preview.js')).text).toBe(readFileSync('templates/preview.js', 'utf8'));
    const head = await ask(address, '/lots/gr.html', { method: 'HEAD' });
    expect(head).toMatchObject({ status: 200, text: '' });
  });

  test('answers by this machine’s own names alone, on both kinds of address', async () => {
    const address = await begun();
    const { port } = new URL(address);
    for (const host of [`127.0.0.1:${port}`, `[::1]:${port}`, `LOCALHOST:${port}`])
      expect((await ask(address, '/', { host })).status).toBe(200);
    for (const host of [
      'evil.example',
      `evil.example:${port}`,
      'localhost',
      'localhost:1',
      `localhost.evil.example:${port}`,
    ])
      expect((await ask(address, '/', { host })).status, host).toBe(403);
    const there = await ask(address, '/', { family: 6, host: `[::1]:${port}` }).catch(() => undefined);
    if (there !== undefined) expect(there.status).toBe(200);
  });

  test('takes nothing, lists nothing, and has no way out of the site', async () => {
    const address = await begun();
    writeFileSync(join(watched.out, 'mine.txt'), 'mine');
    writeFileSync(join(watched.temporary, 'secret.html'), 'secret');
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS', 'PATCH']) {
      const { status, headers } = await ask(address, '/', { method });
      expect({ status, allow: headers.allow }).toEqual({ status: 405, allow: 'GET, HEAD' });
    }
    for (const path of [
      '/../secret.html',
      '/lots/../../secret.html',
      '/%2e%2e/secret.html',
      '/..%2fsecret.html',
      '/lots/..%5c..%5csecret.html',
      '//etc/passwd',
      '/etc/passwd',
      '/mine.txt',
      '/.ullage-site.json',
      '/lots/',
      '/lots',
      '/.ullage/',
      '/nowhere.html',
    ])
      expect((await ask(address, path)).status, path).toBe(404);
    expect((await ask(address, '/%ff')).status).toBe(400);
    expect((await ask(address, '/a%00b')).status).toBe(400);
  });

  test('tells open pages whether they changed', async () => {
    const address = await begun();
    const news = (path: string): { heard: string[]; close: () => void } => {
      const heard: string[] = [];
      const { port } = new URL(address);
      const asked = request(
        { host: '127.0.0.1', port, path: `/.ullage/news?build=1&path=${path}`, headers: { Host: `localhost:${port}` } },
        (response) => {
          response.setEncoding('utf8');
          response.on('data', (piece: string) => heard.push(piece));
          response.on('error', () => undefined);
        },
      );
      asked.on('error', () => undefined);
      asked.end();
      return { heard, close: () => asked.destroy() };
    };
    const lot = news('lots/gr.html');
    const help = news('help/dip-differs.html');
    await wait(200);
    appendFileSync(at(MONTH), '11:00 transfer T1 900 L to T3\n');
    await watched.round();
    await wait(200);
    expect(lot.heard.join('')).toContain('"changed":false');
    expect(lot.heard.join('')).toContain('"changed":true');
    expect(help.heard.join('')).not.toContain('"changed":true');
    expect(help.heard.join('')).toContain('"errors":1');
    for (const { close } of [lot, help]) close();
  });

  test('says so where its port is taken', async () => {
    const address = await begun();
    const { port } = new URL(address);
    const { status, stderr } = ullage(['watch', folder, '--port', port]);
    expect(status).toBe(2);
    expect(stderr).toContain(`port ${port} cannot be had`);
  });
});

describe('the end', () => {
  test.each(['SIGINT', 'SIGTERM'] as const)('%s leaves a whole site and nothing else', async (signal) => {
    await begun();
    appendFileSync(at(MONTH), '11:00 transfer T1 50 L to T3\n');
    await watched.round();
    expect(readFileSync(join(watched.out, '.ullage-site.json'), 'utf8')).toContain('"unfinished": true');
    expect(await watched.end(signal)).toBe(0);
    expect(readFileSync(join(watched.out, '.ullage-site.json'), 'utf8')).toContain('"unfinished": false');
    expect([...pagesIn(watched.out).keys()].filter((path) => path.endsWith('.part'))).toEqual([]);
    sameAsScratch();
    expect(ullage(['build', folder, '--out', watched.out]).stdout).toContain(': 0 written');
  });

  test('without a folder for it, the site is taken away', async () => {
    watched = new Watched(folder, [], false);
    await watched.address();
    expect(readdirSync(watched.temporary)).toHaveLength(1);
    expect(await watched.end()).toBe(0);
    expect(readdirSync(watched.temporary)).toEqual([]);
  });

  test('in the middle of the first build it is no other', async () => {
    watched = new Watched(folder, [], false);
    await wait(300);
    // before the program listens for it, a signal ends it as it ends any other
    expect([0, null]).toContain(await watched.end());
  });
});

test('no folder, no site: what it says, and how it ends', async () => {
  watched = new Watched(folder);
  await watched.end('SIGKILL');
  expect(ullage(['watch', at('nowhere')])).toMatchObject({ status: 2, stdout: '' });
  const { status, stderr } = ullage(['watch', folder, '--out', folder]);
  expect(status).toBe(2);
  expect(stderr).toContain('holds no site of ours');
  expect(ullage(['watch', folder, '--port', '70000']).status).toBe(2);
});

/** Serves a site to this machine alone while it is being written, and tells its open pages what changed. */
import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { extname, join } from 'node:path';
import type { Tally } from './show.ts';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.svg': 'image/svg+xml; charset=utf-8',
  '.ics': 'text/calendar; charset=utf-8',
};

/** What only the preview has; no page of a site can be called so. */
const SCRIPT = '/.ullage/preview.js';
const NEWS = '/.ullage/news';
/** A line now and then, so that a connection that nobody uses is not taken for a dead one. */
const BREATH_MS = 20_000;

/** A page that is open somewhere. */
interface Reader {
  readonly response: ServerResponse;
  readonly path: string;
  /** The state of the site it shows. */
  readonly build: number;
}

export class PortTakenError extends Error {}

export class Preview {
  private readonly folder: string;
  private readonly script: string;
  private readonly servers: Server[] = [];
  private readonly readers = new Set<Reader>();
  /** The state of the site at which a path last changed. */
  private readonly changedAt = new Map<string, number>();
  private paths: ReadonlySet<string> = new Set();
  private counts: Tally = { errors: 0, warnings: 0, notes: 0 };
  private build = 0;
  private port = 0;
  private breath: NodeJS.Timeout | undefined;

  /** `script` is what pages are given to listen with. */
  constructor(folder: string, script: string) {
    this.folder = folder;
    this.script = script;
  }

  /**
   * Begins to serve; 0 takes any free port. Gives the port.
   *
   * @throws PortTakenError when another program has it.
   */
  async open(port: number): Promise<number> {
    this.port = await this.listen('127.0.0.1', port);
    // a machine may know the older kind of address alone
    await this.listen('::1', this.port).catch((error: NodeJS.ErrnoException) => {
      if (error instanceof PortTakenError) throw error;
    });
    this.breath = setInterval(() => {
      for (const { response } of this.readers) response.write(':\n\n');
    }, BREATH_MS);
    this.breath.unref();
    return this.port;
  }

  private listen(host: string, port: number): Promise<number> {
    const server = createServer((request, response) => {
      this.answer(request, response).catch(() => {
        if (!response.headersSent) response.writeHead(500);
        response.end();
      });
    });
    return new Promise((done, failed) => {
      server.once('error', (error: NodeJS.ErrnoException) => {
        failed(
          error.code === 'EADDRINUSE' || error.code === 'EACCES'
            ? new PortTakenError(
                `port ${port} cannot be had; --port names another, and --port 0 takes any that is free`,
              )
            : error,
        );
      });
      server.listen({ host, port, exclusive: true, ipv6Only: host === '::1' }, () => {
        this.servers.push(server);
        const address = server.address();
        done(typeof address === 'object' && address !== null ? address.port : port);
      });
    });
  }

  /** The site has changed; open pages that show what changed come again. */
  tell(paths: readonly string[], changed: Iterable<string>, counts: Tally): void {
    this.build++;
    this.paths = new Set(paths);
    this.counts = counts;
    for (const path of changed) this.changedAt.set(path, this.build);
    for (const reader of this.readers) this.write(reader);
  }

  private write({ response, path, build }: Reader): void {
    const changed = (this.changedAt.get(path) ?? 0) > build;
    response.write(`data: ${JSON.stringify({ changed, counts: this.counts })}\n\n`);
  }

  /** Ends every connection. */
  async close(): Promise<void> {
    clearInterval(this.breath);
    for (const { response } of this.readers) response.end();
    await Promise.all(
      this.servers.map(
        (server) =>
          new Promise<void>((done) => {
            server.close(() => done());
            server.closeAllConnections();
          }),
      ),
    );
  }

  private async answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const { method } = request;
    response.setHeader('Cache-Control', 'no-store');
    response.setHeader('X-Content-Type-Options', 'nosniff');
    response.setHeader('Cross-Origin-Resource-Policy', 'same-origin');
    response.setHeader('Referrer-Policy', 'no-referrer');
    const refuse = (status: number, why: string): void => {
      response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8' });
      response.end(method === 'HEAD' ? undefined : `${why}\n`);
    };
    // a page elsewhere that gives this machine a name of its own is none of ours
    if (!this.isOurs(request.headers.host)) return refuse(403, 'this is not the name of the preview');
    if (method !== 'GET' && method !== 'HEAD') {
      response.setHeader('Allow', 'GET, HEAD');
      return refuse(405, 'pages can only be read');
    }
    const asked = pathOf(request.url ?? '');
    if (asked === undefined) return refuse(400, 'this is no path');
    if (asked.path === NEWS && method === 'GET') return this.welcome(response, asked.query);
    if (asked.path === SCRIPT) return send(response, method, TYPES['.js'] ?? '', this.script);
    const path = asked.path === '/' ? 'index.html' : asked.path.slice(1);
    // only what the site is known to have: no other file of the folder, and no path out of it
    const text = this.paths.has(path)
      ? await readFile(join(this.folder, path), 'utf8').catch(() => undefined)
      : undefined;
    if (text === undefined) {
      response.statusCode = 404;
      const page = `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Not there</title></head><body><main><h1>Not there</h1><p>The site has no such page. <a href="/index.html">To the cellar</a></p></main></body></html>`;
      return send(response, method, TYPES['.html'] ?? '', this.listening(page, path));
    }
    const type = TYPES[extname(path)] ?? 'application/octet-stream';
    send(response, method, type, extname(path) === '.html' ? this.listening(text, path) : text);
  }

  private isOurs(host: string | undefined): boolean {
    const [, name = '', port = '80'] = /^(localhost|127\.0\.0\.1|\[::1\])(?::(\d+))?$/i.exec(host ?? '') ?? [];
    return name !== '' && Number(port) === this.port;
  }

  /** A page with the script that listens, allowed to ask this server and no other. */
  private listening(page: string, path: string): string {
    const script = `<script src="${SCRIPT}" data-build="${this.build}" data-path="${attribute(path)}" defer></script>\n</head>`;
    return page
      .replace("default-src 'none'; ", "default-src 'none'; connect-src 'self'; ")
      .replace('</head>', () => script);
  }

  private welcome(response: ServerResponse, query: URLSearchParams): void {
    response.writeHead(200, { 'Content-Type': 'text/event-stream' });
    response.write('retry: 500\n\n');
    const reader = { response, path: query.get('path') ?? '', build: Number(query.get('build') ?? 0) };
    this.readers.add(reader);
    response.on('close', () => this.readers.delete(reader));
    this.write(reader);
  }
}

function pathOf(url: string): { readonly path: string; readonly query: URLSearchParams } | undefined {
  const [before = '', query = ''] = url.split('?', 2);
  try {
    const path = decodeURIComponent(before);
    return path.startsWith('/') && !path.includes('\0') ? { path, query: new URLSearchParams(query) } : undefined;
  } catch {
    return undefined;
  }
}

const attribute = (text: string): string => text.replace(/[&"<>]/g, (c) => `&#${c.charCodeAt(0)};`);

function send(response: ServerResponse, method: string, type: string, text: string): void {
  response.setHeader('Content-Type', type);
  response.setHeader('Content-Length', Buffer.byteLength(text));
  response.end(method === 'HEAD' ? undefined : text);
}

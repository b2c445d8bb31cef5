/** Serves a site's files from memory on the loopback address, the way any plain host would: compressed for who can take it. */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { gzipSync } from 'node:zlib';
import type { SiteFile } from '../../src/site/pages.ts';

const TYPES: Readonly<Record<string, string>> = {
  html: 'text/html; charset=utf-8',
  css: 'text/css; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  svg: 'image/svg+xml',
};

export interface Served {
  readonly urlOf: (path: string) => string;
  readonly close: () => void;
}

export async function serve(files: readonly SiteFile[]): Promise<Served> {
  const byPath = new Map(files.map(({ path, text }) => [`/${path}`, text]));
  const server = createServer((request, response) => {
    const path = request.url ?? '';
    const text = byPath.get(path);
    if (text === undefined) {
      response.writeHead(404).end();
      return;
    }
    const type = TYPES[path.slice(path.lastIndexOf('.') + 1)] ?? 'text/plain';
    if (/\bgzip\b/u.test(String(request.headers['accept-encoding']))) {
      response.writeHead(200, { 'content-type': type, 'content-encoding': 'gzip' }).end(gzipSync(text));
    } else response.writeHead(200, { 'content-type': type }).end(text);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    urlOf: (path) => `http://127.0.0.1:${port}/${path}`,
    close: () => {
      server.closeAllConnections();
      server.close();
    },
  };
}

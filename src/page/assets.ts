/** The client's files, read once at the start: a handful of small texts, and nothing else can be asked for. */
import { readdir, readFile } from "node:fs/promises";
import { basename, extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

export interface Asset {
  type: string;
  body: Buffer;
  zipped: Buffer;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
};

const CLIENT = "page/client";
/** What the client imports from outside its own folder. */
const SHARED = ["units/length.js", "units/speed.js"];

/** Compiled: `dist`. Straight from the sources (tests) there is no compiled client beside this file. */
const HERE = fileURLToPath(new URL("..", import.meta.url));

/** Not modules: one runs before anything is painted, the other by itself. */
const APART: readonly string[] = ["mode.js", "worker.js"];

/** Path as asked for → file. The paths are those of the folder, so that the client's imports hold. */
export async function readAssets(root: string = HERE): Promise<ReadonlyMap<string, Asset>> {
  const own = (await readdir(join(root, CLIENT))).map((name) => `${CLIENT}/${name}`);
  const texts = new Map<string, string>();
  for (const path of [...own, ...SHARED]) {
    if (TYPES[extname(path)] === undefined) continue;
    const text = await readFile(join(root, path), "utf8").catch(() => undefined);
    if (text !== undefined) texts.set(path, text);
  }
  const modules = [...texts.keys()].filter(
    (path) => extname(path) === ".js" && !APART.includes(basename(path)),
  );
  const assets = new Map<string, Asset>();
  for (const [path, text] of texts) {
    const isPage = path === `${CLIENT}/index.html`;
    const body = Buffer.from(isPage ? withPreloads(text, modules) : text);
    const type = TYPES[extname(path)] ?? "";
    assets.set(isPage ? "/" : `/${path}`, { type, body, zipped: gzipSync(body, { level: 9 }) });
  }
  return assets;
}

/** All modules are asked for at once, not one import after another: that is what the first picture waits for. */
function withPreloads(html: string, modules: readonly string[]): string {
  const links = modules.map((path) => `<link rel="modulepreload" href="/${path}" />`).join("");
  return html.replace("</head>", `${links}</head>`);
}

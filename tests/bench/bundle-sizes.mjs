// What a browser downloads: each file of the built dashboard as it travels, compressed.
import { readFileSync, readdirSync } from "node:fs";
import { join, relative } from "node:path";
import { gzipSync } from "node:zlib";
import { root } from "../../apps/api/bin/build.mjs";

const dist = join(root, "apps/web/dist");

const filesBelow = (folder) =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesBelow(join(folder, entry.name)) : [join(folder, entry.name)],
  );

const kilobytes = (bytes) => `${(bytes / 1000).toFixed(1).padStart(8)} kB`;

/** Prints the size of every script and style, and of what the first page needs. */
export const bundleSizes = () => {
  const page = readFileSync(join(dist, "index.html"), "utf8");
  const files = filesBelow(dist)
    .filter((path) => /\.(js|css|html|woff2|wasm)$/u.test(path))
    .map((path) => {
      const name = relative(dist, path).replaceAll("\\", "/");
      const bytes = readFileSync(path);
      // Fonts and modules in binary form are compressed already.
      const travels = /\.(woff2|wasm)$/u.test(path)
        ? bytes.length
        : gzipSync(bytes, { level: 9 }).length;
      return {
        name,
        raw: bytes.length,
        travels,
        isFirst: name === "index.html" || page.includes(name),
      };
    })
    .toSorted((a, b) => b.travels - a.travels);
  const sum = (chosen) => chosen.reduce((total, file) => total + file.travels, 0);
  const code = files.filter(({ name }) => /\.(js|css|html)$/u.test(name));
  console.log("Dashboard, compressed (gzip -9)");
  console.log(
    `  ${"first page: html, scripts, styles".padEnd(52)}${kilobytes(sum(code.filter((file) => file.isFirst)))}`,
  );
  console.log(`  ${"all html, scripts and styles".padEnd(52)}${kilobytes(sum(code))}`);
  for (const file of files.slice(0, 15)) {
    console.log(
      `    ${file.name.padEnd(50)}${kilobytes(file.travels)}   (${kilobytes(file.raw).trim()} raw)`,
    );
  }
};

import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { scratch, type Scratch } from "../testing/outside-tools.ts";
import { askProcess } from "./ask-process.ts";

// Processes are started here, and a busy machine starts them slowly.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

let folder: Scratch;
beforeAll(() => {
  folder = scratch();
});
afterAll(() => folder.remove());

const ask = (name: string, text: string, timeLimitMs = 30_000) =>
  askProcess({
    program: pathToFileURL(folder.write(name, new TextEncoder().encode(text))),
    order: { path: folder.path(`${name}.count`) },
    timeLimitMs,
    heapMb: 64,
  });
/** A program that counts its starts beside itself and goes on by the count. */
const counting = (then: string): string => `
  import { appendFileSync, readFileSync } from "node:fs";
  process.once("message", ({ path }) => {
    appendFileSync(path, "x");
    const starts = readFileSync(path, "utf8").length;
    ${then}
  });`;

describe("asking a process of its own", () => {
  it("hears the answer that was sent just before the end", async () => {
    // A message too large for one read: the end is known while it still comes in.
    const answer = await ask(
      "large.mjs",
      'process.once("message", () => process.send(new Uint8Array(8_000_000), () => process.exit(0)));',
    );
    expect(answer.kind === "answer" && (answer.value as Uint8Array).length).toBe(8_000_000);
  });

  it("asks once more when it was ended from outside, as by a machine short of memory", async () => {
    const text =
      'if (starts === 1) process.kill(process.pid, "SIGKILL"); else process.send(starts);';
    expect(await ask("killed.mjs", counting(text))).toEqual({ kind: "answer", value: 2 });
  });

  it("asks no third time, and not again what ended by its own judgement", async () => {
    const text = 'process.kill(process.pid, "SIGKILL");';
    expect(await ask("always.mjs", counting(text))).toEqual({
      kind: "ended",
      code: null,
    });
    expect(folder.read("always.mjs.count")).toHaveLength(2);
    expect(await ask("judged.mjs", counting("process.exit(7);"))).toEqual({
      kind: "ended",
      code: 7,
    });
    expect(folder.read("judged.mjs.count")).toHaveLength(1);
  });

  it("stops waiting when the time is over", async () => {
    expect(await ask("hang.mjs", "setInterval(() => {}, 1000);", 300)).toEqual({
      kind: "out of time",
    });
  });
});

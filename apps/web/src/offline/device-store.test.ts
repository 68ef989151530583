import { IDBFactory } from "fake-indexeddb";
import "fake-indexeddb/auto";
import { beforeEach, describe, expect, it, vi } from "vitest";
import type * as KeptAnswers from "./kept-answers.ts";
import { EMPTY_OUTBOX, write, type Written } from "./outbox.ts";
import type * as OutboxStore from "./outbox-store.ts";
import type * as Vault from "./vault.ts";
import type * as Database from "./database.ts";

const ME = "farrier-1";
const written = (key: string, fileId?: string): Written => ({
  key,
  lane: "marl",
  personId: ME,
  label: "Marl",
  deviceAtMs: 1,
  clockBefore: null,
  request: {
    operation: "addDocument",
    params: { horseId: "marl" },
    body: { caption: "Blood at the white line" },
    ...(fileId === undefined ? {} : { fileId }),
  },
});

let vault: typeof Vault;
let answers: typeof KeptAnswers;
let store: typeof OutboxStore;
let database: typeof Database;

beforeEach(async () => {
  vi.stubGlobal("indexedDB", new IDBFactory());
  vi.stubGlobal("isSecureContext", true);
  vi.stubGlobal("BroadcastChannel", undefined);
  vi.stubGlobal("navigator", {
    locks: { request: (_: string, work: () => unknown) => Promise.resolve(work()) },
  });
  // A fresh device: the modules hold on to their database.
  vi.resetModules();
  vault = await import("./vault.ts");
  answers = await import("./kept-answers.ts");
  store = await import("./outbox-store.ts");
  database = await import("./database.ts");
});

const bytesOf = (text: string): ArrayBuffer => new TextEncoder().encode(text).buffer;
const everythingStored = async (): Promise<string> => {
  const opened = await database.openDatabase();
  const sealed = [
    ...(await opened.getAll("answers")),
    ...(await opened.getAll("outbox")),
    ...(await opened.getAll("files")),
  ];
  return sealed.map(({ data }) => new TextDecoder().decode(data)).join("\n");
};

describe("the day on the phone", () => {
  it("gives back what was stored, and lies there unreadable under a key that cannot be taken out", async () => {
    const { key } = await vault.ensureKey("day", ME);
    await answers.keepAnswer("/api/v1/horses/1", bytesOf('{"name":"Marl"}'), "application/json");
    const found = await answers.keptResponse("/api/v1/horses/1");
    expect(await found?.json()).toEqual({ name: "Marl" });
    expect(Number(found?.headers.get(answers.STORED_AT))).toBeGreaterThan(0);
    expect(await everythingStored()).not.toContain("Marl");
    // Source: W3C Web Cryptography, exportKey of a key that is not extractable.
    await expect(crypto.subtle.exportKey("raw", key)).rejects.toThrow("extractable");
  });

  it("does not open one answer under the address of another", async () => {
    const { key } = await vault.ensureKey("day", ME);
    const sealed = await vault.seal(key, bytesOf("plan 1"), "/plans/1");
    await expect(vault.unseal(key, sealed, "/plans/2")).rejects.toMatchObject({
      name: "OperationError",
    });
    expect(new TextDecoder().decode(await vault.unseal(key, sealed, "/plans/1"))).toBe("plan 1");
  });

  it("cannot be opened any more once it has run out, and is wiped when that is seen", async () => {
    await vault.ensureKey("day", ME, Date.now() - vault.DAY_LASTS_MS);
    const opened = await database.openDatabase();
    await opened.put(
      "answers",
      {
        iv: new Uint8Array(12),
        data: bytesOf("x"),
        mediaType: "text/plain",
        storedAtMs: 1,
        sizeBytes: 1,
      },
      "/a",
    );
    expect(await vault.findKey("day")).toBeUndefined();
    expect([await opened.count("keys"), await opened.count("answers")]).toEqual([0, 0]);
    expect(await answers.keptResponse("/a")).toBeUndefined();
  });

  it("is wiped before another person's is stored on the same phone", async () => {
    await vault.ensureKey("day", ME);
    await answers.keepAnswer("/a", bytesOf("x"), "text/plain");
    await vault.ensureKey("day", "farrier-2");
    expect(await answers.keptResponse("/a")).toBeUndefined();
  });

  it("drops what a newer taking did not bring, so that yesterday's plan is not opened as today's", async () => {
    await vault.ensureKey("day", ME);
    await answers.keepAnswer("/old", bytesOf("x"), "text/plain");
    await answers.dropOlder(Date.now() + 1);
    expect(await answers.isKept("/old")).toBe(false);
  });
});

describe("the outbox on the phone", () => {
  it("keeps an entry and its photo together, sealed, and reads both after a restart", async () => {
    const photo = new Blob(["a picture of a foot"], { type: "image/jpeg" });
    await store.changeOutbox(ME, (outbox) => write(outbox, written("k1", "f1")), [
      { id: "f1", file: photo },
    ]);
    expect(await everythingStored()).not.toMatch(/Blood|picture/);
    vi.resetModules();
    const later: typeof OutboxStore = await import("./outbox-store.ts");
    const { entries, nextOrder } = await later.loadOutbox();
    expect(entries).toMatchObject([{ key: "k1", order: 1, label: "Marl" }]);
    expect(nextOrder).toBe(2);
    const file = await later.loadFile("f1");
    expect([file?.type, await file?.text()]).toEqual(["image/jpeg", "a picture of a foot"]);
  });

  it("has all of a write or none of it when the phone runs full in the middle", async () => {
    await store.changeOutbox(ME, (outbox) => write(outbox, written("k1")));
    const opened = await database.openDatabase();
    // Called with its own `this` below.
    // oxlint-disable-next-line typescript/unbound-method
    const { put } = IDBObjectStore.prototype;
    const full = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (
      this: IDBObjectStore,
      value: unknown,
      key?: IDBValidKey,
    ) {
      if (this.name === "files") throw new DOMException("no room", "QuotaExceededError");
      return put.call(this, value, key);
    });
    await expect(
      store.changeOutbox(ME, (outbox) => write(outbox, written("k2", "f2")), [
        { id: "f2", file: new Blob(["x"]) },
      ]),
    ).rejects.toThrow("no room");
    full.mockRestore();
    const kept = await store.loadOutbox();
    expect(kept.entries.map((entry) => entry.key)).toEqual(["k1"]);
    expect(kept.nextOrder).toBe(2);
    expect(await opened.count("files")).toBe(0);
  });

  it("never uses a number twice, even after everything was thrown away on signing out", async () => {
    await store.changeOutbox(ME, (outbox) => write(outbox, written("k1")));
    await store.wipeOutbox();
    expect((await store.loadOutbox()).entries).toEqual([]);
    const after = await store.changeOutbox(ME, (outbox) => write(outbox, written("k2")));
    expect(after.entries.map((entry) => entry.order)).toEqual([2]);
  });

  it("does not let one person write among the unsent records of another", async () => {
    await store.changeOutbox(ME, (outbox) => write(outbox, written("k1")));
    await expect(
      store.changeOutbox("farrier-2", (outbox) => write(outbox, written("k2"))),
    ).rejects.toThrow("somebody else");
    expect((await store.loadOutbox()).entries).toHaveLength(1);
  });

  it("lets a photo go only once its entry is forgotten", async () => {
    await store.changeOutbox(ME, (outbox) => write(outbox, written("k1", "f1")), [
      { id: "f1", file: new Blob(["x"]) },
    ]);
    await store.changeOutbox(ME, (outbox) => ({ ...outbox, entries: [] }));
    expect(await store.loadFile("f1")).toBeUndefined();
    expect(EMPTY_OUTBOX.entries).toEqual([]);
  });
});

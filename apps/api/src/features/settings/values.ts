import type { Setting } from "@heelward/domain/evidence";
import type { Work } from "../../http/work.ts";
import { FIGURES } from "./registry.ts";
import { findInForce, type OwnValue } from "./store.ts";

type Numbers = Readonly<Record<string, Pick<Setting<number>, "key" | "value">>>;

/**
 * The value of a figure on a day: the practice's own if one holds then, else the standard. Ask for the
 * day of the decision, so that what was decided earlier is judged by the limit of its time.
 * @throws RangeError when there is no such figure.
 */
export const settingValue = async (
  { tx }: Pick<Work, "tx">,
  key: string,
  on: string,
): Promise<number> => {
  const standard = FIGURES.get(key);
  if (standard === undefined) throw new RangeError(`there is no figure ${key}`);
  const [own] = await findInForce(tx, [key], on);
  return own?.value ?? standard.value;
};

/** Every figure whose key begins so, with the practice's own values of a day in their places. */
export const figuresBeginning = async (
  { tx }: Pick<Work, "tx">,
  start: string,
  on: string,
): Promise<ReadonlyMap<string, number>> => {
  const figures = [...FIGURES.values()].filter(({ key }) => key.startsWith(start));
  const own = await findInForce(
    tx,
    figures.map(({ key }) => key),
    on,
  );
  return new Map([
    ...figures.map(({ key, value }) => [key, value] as const),
    ...own.map(({ key, value }) => [key, value] as const),
  ]);
};

/** What the practice itself entered for figures, with source and start, as it holds on a day. */
export const ownValues = (
  { tx }: Pick<Work, "tx">,
  keys: readonly string[],
  on: string,
): Promise<OwnValue[]> => findInForce(tx, keys, on);

/** A group of settings as the rules take it, with the practice's own values of a day in their places. */
export const ownSettings = async <G extends Numbers>(
  { tx }: Pick<Work, "tx">,
  group: G,
  on: string,
): Promise<{ [K in keyof G]: Omit<G[K], "value"> & { readonly value: number } }> => {
  const keys = Object.values(group).map((setting) => setting.key);
  const own = new Map((await findInForce(tx, keys, on)).map((row) => [row.key, row.value]));
  return Object.fromEntries(
    Object.entries(group).map(([name, setting]) => [
      name,
      { ...setting, value: own.get(setting.key) ?? setting.value },
    ]),
  ) as { [K in keyof G]: Omit<G[K], "value"> & { readonly value: number } };
};

interface TextPart {
  readonly text: string;
  /** The glossary word this part shows. */
  readonly word?: string;
}

const escaped = (text: string): string => text.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);

/**
 * Cuts a text where a glossary word stands as a whole word; the longest word wins and each word is
 * marked once, so that a paragraph does not turn into a row of buttons.
 */
export const splitByWords = (text: string, words: readonly string[]): readonly TextPart[] => {
  const usable = words.filter((word) => word.trim() !== "");
  if (usable.length === 0) return [{ text }];
  const pattern = new RegExp(
    `(?<![\\p{L}\\p{N}])(${usable
      .toSorted((a, b) => b.length - a.length)
      .map(escaped)
      .join("|")})(?![\\p{L}\\p{N}])`,
    "giu",
  );
  const seen = new Set<string>();
  const parts: TextPart[] = [];
  let from = 0;
  for (const match of text.matchAll(pattern)) {
    const [found] = match;
    const word = usable.find((one) => one.toLowerCase() === found.toLowerCase());
    if (word === undefined || seen.has(word)) continue;
    seen.add(word);
    if (match.index > from) parts.push({ text: text.slice(from, match.index) });
    parts.push({ text: found, word });
    from = match.index + found.length;
  }
  if (from < text.length) parts.push({ text: text.slice(from) });
  return parts;
};

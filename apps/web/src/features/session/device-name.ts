/** Programs by the word they send, most particular first: several send the words of others too. */
const BROWSERS: readonly (readonly [word: RegExp, name: string])[] = [
  [/Edg\w*\//u, "Edge"],
  [/OPR\//u, "Opera"],
  [/SamsungBrowser\//u, "Samsung Internet"],
  [/Firefox\/|FxiOS\//u, "Firefox"],
  [/Chrome\/|CriOS\//u, "Chrome"],
  [/Safari\//u, "Safari"],
];
const SYSTEMS: readonly (readonly [word: RegExp, name: string])[] = [
  [/iPhone/u, "iPhone"],
  [/iPad/u, "iPad"],
  [/Android/u, "Android"],
  [/Windows/u, "Windows"],
  [/Mac OS X/u, "Mac"],
  [/CrOS/u, "ChromeOS"],
  [/Linux/u, "Linux"],
];

const named = (from: typeof BROWSERS, text: string): string | undefined =>
  from.find(([word]) => word.test(text))?.[1];

/** What a person would call the device, from what its browser says of itself; else its own words. */
export const deviceName = (userAgent: string): string => {
  const [browser, system] = [named(BROWSERS, userAgent), named(SYSTEMS, userAgent)];
  if (browser === undefined && system === undefined) return userAgent;
  return [browser, system].filter((one) => one !== undefined).join(", ");
};

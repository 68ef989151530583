import { chromium, type Browser } from "playwright-core";

/**
 * Starts the distribution's Chromium without any traffic of its own and with WebGL drawn in
 * software, so that films render on machines without a graphics card.
 */
export const launchBrowser = async (...more: readonly string[]): Promise<Browser> =>
  chromium.launch({
    executablePath: process.env["CHROMIUM_PATH"] ?? "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--no-first-run",
      "--use-gl=angle",
      "--use-angle=swiftshader",
      "--enable-unsafe-swiftshader",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      "--disable-quic",
      ...more,
    ],
  });

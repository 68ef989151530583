import { Secret, TOTP } from "otpauth";
import type { Browser, BrowserContext, CDPSession, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { wcagFaultsOf } from "../support/accessibility.ts";
import { launchBrowser } from "../support/browser.ts";
import { startLiveService, type LiveService } from "../support/dashboard.ts";
import { PASSWORD, type TestPerson } from "../support/service.ts";

/**
 * Second factors as a person meets them. Passkeys come from Chromium's own virtual authenticator
 * (WebAuthn level 3, section 11), codes from the reference library in the place of a phone.
 */
let service: LiveService;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let devtools: CDPSession;
let turn = 0;

beforeAll(async () => {
  service = await startLiveService();
  browser = await launchBrowser();
});
afterAll(async () => {
  await browser.close();
  await service.close();
});
beforeEach(async () => {
  context = await browser.newContext({
    viewport: { width: 1440, height: 1000 },
    // Passkeys belong to a name; an address of numbers is none.
    baseURL: service.url.replace("127.0.0.1", "localhost"),
    locale: "en-GB",
    timezoneId: "Europe/Dublin",
    reducedMotion: "reduce",
  });
  context.setDefaultTimeout(60_000);
  page = await context.newPage();
  devtools = await context.newCDPSession(page);
  await devtools.send("WebAuthn.enable");
  await devtools.send("WebAuthn.addVirtualAuthenticator", {
    options: {
      protocol: "ctap2",
      transport: "internal",
      hasResidentKey: true,
      hasUserVerification: true,
      isUserVerified: true,
      automaticPresenceSimulation: true,
    },
  });
});
afterEach(() => context.close());

const newPerson = (role: TestPerson["role"]): Promise<TestPerson> => {
  turn += 1;
  return service.personWith(role, `Factor Person ${turn}`);
};
const enterPassword = async (person: TestPerson) => {
  await page.goto("/sign-in");
  await page.getByLabel("E-mail").fill(person.email);
  await page.getByLabel("Password").fill(PASSWORD);
  await page.getByRole("button", { name: "Sign in" }).click();
};
const isIn = () => page.getByRole("button", { name: /^Your account/ }).waitFor();
const addPasskey = async (name: string) => {
  await page.goto("/devices");
  await page.getByRole("button", { name: "Add a passkey" }).click();
  await page.getByLabel("Name").fill(name);
  await page.getByRole("button", { name: "Make the passkey" }).click();
  await page.getByRole("heading", { name: "Your recovery codes" }).waitFor();
  const codes = await page
    .getByRole("list", { name: "Your recovery codes" })
    .getByRole("listitem")
    .allTextContents();
  await page.getByRole("button", { name: "I have kept them" }).click();
  await page.getByText(name).first().waitFor();
  return codes;
};

describe("a passkey", () => {
  it("is added, then asked at sign-in and before signing, and removed again", async () => {
    const vet = await newPerson("vet");
    await enterPassword(vet);
    await isIn();
    const codes = await addPasskey("Laptop in the office");
    expect(codes).toHaveLength(10);
    expect(await wcagFaultsOf(page)).toEqual([]);

    await context.clearCookies();
    await enterPassword(vet);
    await page.getByRole("heading", { name: "One more step" }).waitFor();
    expect(await wcagFaultsOf(page)).toEqual([]);
    await page.getByRole("button", { name: "Use a passkey" }).click();
    await isIn();

    service.advance(6 * 60_000);
    await page.goto("/devices");
    await page.getByRole("button", { name: "Get new codes" }).click();
    await page.getByRole("heading", { name: "Confirm it is you" }).waitFor();
    await page.getByRole("button", { name: "Use a passkey" }).click();
    await page.getByRole("heading", { name: "Your recovery codes" }).waitFor();
    await page.getByRole("button", { name: "I have kept them" }).click();
    await page.getByRole("button", { name: "Remove Laptop in the office" }).click();
    await page.getByText(/^None yet/).waitFor();

    await context.clearCookies();
    await enterPassword(vet);
    await isIn();
  });

  it("of another device opens nothing, while a recovery code does, once", async () => {
    const manager = await newPerson("manager");
    await enterPassword(manager);
    await isIn();
    const [code = ""] = await addPasskey("Lost phone");
    await context.clearCookies();
    await devtools.send("WebAuthn.disable");
    await devtools.send("WebAuthn.enable");
    await enterPassword(manager);
    await page.getByLabel("Recovery code").fill(code);
    await page.getByRole("button", { name: "Carry on" }).click();
    await isIn();
    await context.clearCookies();
    await enterPassword(manager);
    await page.getByLabel("Recovery code").fill(code);
    await page.getByRole("button", { name: "Carry on" }).click();
    await page.getByRole("alert").getByText("E-mail or password do not fit").first().waitFor();
  });
});

describe("a practice that asks for a second factor", () => {
  it("shows a vet without one nothing but how to add it; an app does, and the page opens", async () => {
    const manager = await newPerson("manager");
    const vet = await newPerson("vet");
    await enterPassword(manager);
    await isIn();
    await addPasskey("Desk");
    await page.goto("/people");
    await page.getByText("Asked for", { exact: true }).click();
    await expect
      .poll(() => service.query("SELECT second_factor_required AS asked FROM practices"))
      .toEqual([{ asked: true }]);

    await context.clearCookies();
    await enterPassword(vet);
    await page.getByRole("heading", { name: "Add a second factor" }).waitFor();
    expect(await wcagFaultsOf(page)).toEqual([]);
    await page.goto("/horses");
    await page.getByRole("heading", { name: "Add a second factor" }).waitFor();
    await page.getByRole("button", { name: "Add an app" }).click();
    await page.getByLabel("Name").fill("My phone");
    await page.getByRole("button", { name: "Next" }).click();
    await page.getByRole("img", { name: "Square code to scan with the app" }).waitFor();
    expect(await wcagFaultsOf(page)).toEqual([]);
    const shown = await page.getByText("Or type this key:").locator("xpath=..").textContent();
    const key = (shown ?? "").replace("Or type this key:", "").replaceAll(" ", "");
    const totp = new TOTP({ secret: Secret.fromBase32(key) });
    await page.getByLabel("Six digits").fill(totp.generate({ timestamp: service.now() }));
    await page.getByRole("button", { name: "Confirm" }).click();
    await page.getByRole("button", { name: "I have kept them" }).click();
    await isIn();

    await context.clearCookies();
    service.advance(60_000);
    await enterPassword(vet);
    await page.getByLabel("Code of your app").fill(totp.generate({ timestamp: service.now() }));
    await page.getByRole("button", { name: "Carry on" }).click();
    await isIn();
    await service.query("UPDATE practices SET second_factor_required = false");
  });
});

describe("a forgotten password", () => {
  it("is replaced through a link that the manager hands over", async () => {
    const manager = await newPerson("manager");
    const carer = await newPerson("carer");
    await enterPassword(manager);
    await isIn();
    await page.goto("/people");
    const { name } = (await carer.get("/session")).body.person as { name: string };
    await page.getByRole("button", { name: `Change ${name}` }).click();
    await page.getByRole("button", { name: "Make a link to a new password" }).click();
    const link = await page.getByLabel("Make a link to a new password").last().inputValue();
    await context.clearCookies();
    await page.goto(new URL(link).pathname);
    await page.getByLabel("New password").fill("meadow ladder cobalt 9");
    await page.getByLabel("The same once more").fill("meadow ladder cobalt 9");
    expect(await wcagFaultsOf(page)).toEqual([]);
    await page.getByRole("button", { name: "Take this password" }).click();
    await page.getByText("Done. Sign in with your new password.").waitFor();
    await page.getByRole("link", { name: "Sign in" }).click();
    await page.getByLabel("E-mail").fill(carer.email);
    await page.getByLabel("Password").fill("meadow ladder cobalt 9");
    await page.getByRole("button", { name: "Sign in" }).click();
    await isIn();
  });

  it("is asked for on the sign-in page, which says the same to everybody", async () => {
    await page.goto("/sign-in");
    await page.getByRole("link", { name: "Forgot the password?" }).click();
    // The page before has a field of the same name.
    const send = page.getByRole("button", { name: "Send the link" });
    await send.waitFor();
    await page.getByLabel("E-mail").fill("nobody@test.invalid");
    await send.click();
    await page.getByText(/If nobody@test.invalid has an account/).waitFor();
    expect(await wcagFaultsOf(page)).toEqual([]);
  });
});

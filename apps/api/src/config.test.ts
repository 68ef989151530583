import { describe, expect, it } from "vitest";
import { readConfig } from "./config.ts";

describe("the environment", () => {
  it("needs nothing: letters wait, drive times are estimated, links name this host", () => {
    const config = readConfig({});
    expect(config.smtp).toBeUndefined();
    expect(config.driveTimesUrl).toBeUndefined();
    expect(config.publicUrl).toBeUndefined();
  });

  it("takes a mail server with its sender, and addresses without the slash at the end", () => {
    expect(
      readConfig({
        SMTP_URL: "smtps://user:pw@mail.invalid:465",
        MAIL_FROM: "Practice <desk@practice.invalid>",
        PUBLIC_URL: "https://heelward.invalid/",
        DRIVE_TIMES_URL: "http://roads.invalid:5000//",
      }),
    ).toMatchObject({
      smtp: { url: "smtps://user:pw@mail.invalid:465", from: "Practice <desk@practice.invalid>" },
      publicUrl: "https://heelward.invalid",
      driveTimesUrl: "http://roads.invalid:5000",
    });
  });

  it("treats an empty variable as one that is not set, as container files write it", () => {
    expect(readConfig({ SMTP_URL: "", MAIL_FROM: "", DRIVE_TIMES_URL: "" }).smtp).toBeUndefined();
  });

  it.each([
    [{ SMTP_URL: "smtp://mail.invalid" }, /SMTP_URL and MAIL_FROM go together/u],
    [{ MAIL_FROM: "desk@practice.invalid" }, /SMTP_URL and MAIL_FROM go together/u],
    [{ SMTP_URL: "http://mail.invalid", MAIL_FROM: "a@b.invalid" }, /SMTP_URL/u],
    [{ PUBLIC_URL: "heelward" }, /PUBLIC_URL/u],
    [{ DRIVE_TIMES_URL: "file:///etc/passwd" }, /DRIVE_TIMES_URL/u],
  ])("refuses what does not fit and names it: %j", (env, message) => {
    expect(() => readConfig(env)).toThrow(message);
  });
});

import { randomBytes } from "node:crypto";
import { Secret, TOTP } from "otpauth";
import QRCode from "qrcode";

/** SHA-1, six digits, thirty seconds: what every authenticator app takes. Source: RFC 6238 and RFC 4226. */
const PARAMETERS = { algorithm: "SHA1", digits: 6, period: 30 } as const;
/** One step of clock drift either way. Source: RFC 6238, section 5.2. */
const STEPS_OF_DRIFT = 1;
/** Source: RFC 4226, section 4, R6: at least 128 bits, 160 recommended. */
const KEY_BYTES = 20;

const timer = (keyBase32: string) =>
  new TOTP({ ...PARAMETERS, issuer: "Heelward", secret: Secret.fromBase32(keyBase32) });

/** A fresh key in base32. */
export const newAppKey = (): string =>
  new Secret({ buffer: new Uint8Array(randomBytes(KEY_BYTES)).buffer }).base32;

/** What an app reads to take the key over: the address and its QR code as an SVG path. */
export const enrolmentOf = (
  keyBase32: string,
  account: string,
): { readonly address: string; readonly picture: string; readonly size: number } => {
  const totp = timer(keyBase32);
  totp.label = account;
  const address = totp.toString();
  const { modules } = QRCode.create(address, { errorCorrectionLevel: "M" });
  const { size } = modules;
  const dark = Array.from({ length: size * size }, (_, at) => at).filter(
    (at) => modules.get(Math.floor(at / size), at % size) === 1,
  );
  return {
    address,
    size,
    picture: dark.map((at) => `M${at % size} ${Math.floor(at / size)}h1v1h-1z`).join(""),
  };
};

/**
 * The time step a code belongs to, or null when it does not fit now. A step that was used (`afterStep`)
 * or lies before it does not fit again. Source: RFC 6238, section 5.2 (one-time only).
 */
export const stepOfCode = (
  keyBase32: string,
  code: string,
  nowMs: number,
  afterStep: number,
): number | null => {
  const totp = timer(keyBase32);
  const delta = totp.validate({ token: code, timestamp: nowMs, window: STEPS_OF_DRIFT });
  if (delta === null) return null;
  const step = totp.counter({ timestamp: nowMs }) + delta;
  return step > afterStep ? step : null;
};

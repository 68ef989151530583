import {
  generateAuthenticationOptions,
  generateRegistrationOptions,
  verifyAuthenticationResponse,
  verifyRegistrationResponse,
  type AuthenticationResponseJSON,
  type RegistrationResponseJSON,
} from "@simplewebauthn/server";
import { passkeyAnswer } from "@heelward/contracts";
import type { FastifyRequest } from "fastify";
import type { z } from "zod";
import { Problem } from "../../http/problem.ts";

type Answer = z.output<typeof passkeyAnswer>;

/** Where the dashboard lives, as browsers see it: passkeys belong to this name and work nowhere else. */
export interface Site {
  readonly host: string;
  readonly origins: readonly string[];
}

/**
 * The configured public address, else the host the request came to. The browser, not the caller,
 * writes the name into what a passkey signs, so a made-up host opens nothing.
 */
export const siteOf = (request: FastifyRequest, publicUrl: string | undefined): Site => {
  const host = request.headers.host ?? "localhost";
  const configured = publicUrl === undefined ? null : URL.parse(publicUrl);
  if (configured !== null && configured.host !== "" && configured.protocol === "https:")
    return { host: configured.hostname, origins: [configured.origin] };
  return {
    host: URL.parse(`http://${host}`)?.hostname ?? "localhost",
    origins: [`http://${host}`, `https://${host}`],
  };
};

/** A passkey as it is kept. */
export interface KeptPasskey {
  readonly credentialId: string;
  readonly publicKey: string;
  readonly counter: bigint;
  readonly transports: readonly string[];
}

const refused = () => new Problem("wrong-credentials", "The passkey was not accepted.");

/** The challenge inside what the browser signed; `null` when it cannot be read. */
export const challengeIn = (answer: Answer): string | null => {
  try {
    const text = Buffer.from(String(answer.response["clientDataJSON"]), "base64url").toString();
    const read: unknown = JSON.parse(text);
    return typeof read === "object" &&
      read !== null &&
      "challenge" in read &&
      typeof read.challenge === "string"
      ? read.challenge
      : null;
  } catch {
    return null;
  }
};

/** What the browser needs to make a passkey: the person is asked for finger, face or PIN. */
export const enrolmentOptions = (
  site: Site,
  person: { readonly id: string; readonly email: string; readonly name: string },
  present: readonly KeptPasskey[],
) =>
  generateRegistrationOptions({
    rpName: "Heelward",
    rpID: site.host,
    userID: new TextEncoder().encode(person.id),
    userName: person.email,
    userDisplayName: person.name,
    attestationType: "none",
    excludeCredentials: present.map((one) => ({
      id: one.credentialId,
      transports: [...one.transports],
    })),
    authenticatorSelection: { residentKey: "preferred", userVerification: "required" },
  });

/** What the browser needs to ask one of these passkeys. */
export const questionOptions = (site: Site, present: readonly KeptPasskey[]) =>
  generateAuthenticationOptions({
    rpID: site.host,
    userVerification: "required",
    allowCredentials: present.map((one) => ({
      id: one.credentialId,
      transports: [...one.transports],
    })),
  });

/** Checks a new passkey. Source: WebAuthn level 3, section 7.1. @throws Problem when anything does not fit. */
export const readNewPasskey = async (
  site: Site,
  challenge: string,
  answer: Answer,
): Promise<KeptPasskey> => {
  try {
    const { verified, registrationInfo } = await verifyRegistrationResponse({
      response: answer as unknown as RegistrationResponseJSON,
      expectedChallenge: challenge,
      expectedOrigin: [...site.origins],
      expectedRPID: site.host,
      requireUserVerification: true,
    });
    if (!verified) throw refused();
    const { credential } = registrationInfo;
    return {
      credentialId: credential.id,
      publicKey: Buffer.from(credential.publicKey).toString("base64url"),
      counter: BigInt(credential.counter),
      transports: (credential.transports ?? []).slice(0, 8),
    };
  } catch {
    throw refused();
  }
};

/**
 * The new counter when a passkey's answer holds, else null.
 * Source: WebAuthn level 3, section 7.2 (challenge, origin, name, signature, counter going up).
 */
export const checkPasskey = async (
  site: Site,
  challenge: string,
  kept: KeptPasskey,
  answer: Answer,
): Promise<bigint | null> => {
  try {
    const { verified, authenticationInfo } = await verifyAuthenticationResponse({
      response: answer as unknown as AuthenticationResponseJSON,
      expectedChallenge: challenge,
      expectedOrigin: [...site.origins],
      expectedRPID: site.host,
      requireUserVerification: true,
      credential: {
        id: kept.credentialId,
        publicKey: new Uint8Array(Buffer.from(kept.publicKey, "base64url")),
        counter: Number(kept.counter),
        transports: [...kept.transports],
      },
    });
    return verified ? BigInt(authenticationInfo.newCounter) : null;
  } catch {
    return null;
  }
};

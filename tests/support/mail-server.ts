import type { AddressInfo } from "node:net";
import { SMTPServer } from "smtp-server";

/** A letter as the mail server took it. */
export interface TakenLetter {
  readonly from: string;
  readonly to: readonly string[];
  /** Headers and body as they came over the wire. */
  readonly raw: string;
  readonly messageId: string;
  /** The text with its transfer encoding undone. */
  readonly text: string;
}

export interface TestMailServer {
  readonly url: string;
  readonly letters: readonly TakenLetter[];
  /** What the server answers to the next letters: `true` takes them, a text refuses them for now. */
  readonly answer: (next: true | string) => void;
  readonly close: () => Promise<void>;
}

const decoded = (raw: string): string => {
  const [head = "", ...rest] = raw.split("\r\n\r\n");
  const body = rest.join("\r\n\r\n");
  if (/^content-transfer-encoding: base64/imu.test(head))
    return Buffer.from(body, "base64").toString("utf8");
  if (!/^content-transfer-encoding: quoted-printable/imu.test(head)) return body;
  return Buffer.from(
    body
      .replaceAll("=\r\n", "")
      .replaceAll(/=([0-9A-F]{2})/gu, (_, hex: string) =>
        String.fromCodePoint(Number.parseInt(hex, 16)),
      ),
    "latin1",
  ).toString("utf8");
};

/** A mail server on this machine that keeps what it is given. source: RFC 5321 by the smtp-server package. */
export const startMailServer = async (): Promise<TestMailServer> => {
  const letters: TakenLetter[] = [];
  let next: true | string = true;
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ["STARTTLS"],
    onData: (stream, session, done) => {
      const chunks: Buffer[] = [];
      stream.on("data", (chunk: Buffer) => chunks.push(chunk));
      stream.on("end", () => {
        if (next !== true) {
          done(Object.assign(new Error(next), { responseCode: 451 }));
          return;
        }
        const raw = Buffer.concat(chunks).toString("utf8");
        const { mailFrom, rcptTo } = session.envelope;
        letters.push({
          from: mailFrom === false ? "" : mailFrom.address,
          to: rcptTo.map((one) => one.address),
          raw,
          messageId: /^message-id: (.+)$/imu.exec(raw)?.[1]?.trim() ?? "",
          text: decoded(raw),
        });
        done();
      });
    },
  });
  await new Promise<void>((resolve) => {
    server.listen(0, "127.0.0.1", resolve);
  });
  const { port } = server.server.address() as AddressInfo;
  return {
    url: `smtp://127.0.0.1:${port}`,
    letters,
    answer: (answer) => {
      next = answer;
    },
    close: () =>
      new Promise<void>((resolve) => {
        server.close(resolve);
      }),
  };
};

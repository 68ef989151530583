const COMMON = `
tables/<table>/<n>.jsonl   the rows, one a line, as canonical JSON (RFC 8785), in the order of their keys
manifest.json              every file with its SHA-256, the number of rows, and where the log ended
manifest.signature.json    Ed25519 signature (RFC 8032) over manifest.json, with the public key

Signed records carry the exact text that was signed (signed_text), the signature and the id of the key;
the public keys are in tables/signing_keys. Each line of tables/audit_entries holds the exact text of an
entry, its hash, and the hash of the entry before: hash = SHA-256(previous hash + line feed + entry).

Check the archive, without any network, with a copy of the program:
  npm run prove -- <this file>
It says whose key signed it; compare the key with the one the practice gives you.

These are records of animals in treatment. They compute and diagnose nothing; a licensed vet or farrier
decides. Keep them as long, and as private, as your law asks.
`;

const ABOUT = {
  case: `One case, complete.

case.json                  the case file as a vet of the practice sees it
films/                     radiographs as they came (DICOM or picture)
documents/                 photos and papers as they came`,
  practice: `Everything on the record of one practice, in open formats.

blobs/<key>                films, photos and papers; the key ends with the SHA-256 of the bytes

Passwords, sessions, second factors, invitations and letters under way are left out: people set a new
password where this is restored. Restore into an empty copy with:
  npm run restore -- <this file>`,
} as const;

/** What lies beside the data, for whoever opens the archive without the program. */
export const readMe = (kind: keyof typeof ABOUT): string => `${ABOUT[kind]}\n${COMMON}`;

import { Check, Copy } from "lucide-react";
import { useState } from "react";
import { Button } from "../components/button.tsx";
import { TextField } from "../components/field.tsx";

/** A link that is shown once, with a button that copies it. */
export const CopyLink = ({
  link,
  label,
  copy,
  copied,
}: {
  /** A path of this site, or a whole address. */
  readonly link: string;
  readonly label: string;
  readonly copy: string;
  readonly copied: string;
}) => {
  const [isCopied, setCopied] = useState(false);
  const address = new URL(link, location.origin).href;
  return (
    <div className="stack-tight">
      <TextField label={label} value={address} onChange={() => undefined} readOnly />
      <div>
        <Button
          look="primary"
          icon={isCopied ? <Check aria-hidden /> : <Copy aria-hidden />}
          onClick={() => {
            void navigator.clipboard.writeText(address).then(() => setCopied(true));
          }}
        >
          {isCopied ? copied : copy}
        </Button>
      </div>
    </div>
  );
};

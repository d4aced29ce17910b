/** How old the last good backup of the server is. A lead who sees none asks the person who looks after the server. */
import { useEffect, useState } from "preact/hooks";
import { type Backup, lastBackup } from "../../actions/shop.ts";
import { nowMs } from "../../device/clock.ts";
import { useAct } from "../../ui/act.ts";
import { Notice } from "../../ui/Notice.tsx";
import { spanWords } from "../../words/format.ts";

/** Without a schedule a week is taken to be too long (common practice, no source). */
const TOO_LONG_H = 7 * 24;
const HOUR_MS = 3_600_000;

export function BackupLine() {
  const [backup, setBackup] = useState<Backup | null>(null);
  const { run } = useAct();
  useEffect(() => void run(lastBackup, setBackup), []);
  if (backup === null) return null;
  const { at_ms, every_h } = backup;
  if (at_ms === null) {
    return (
      <Notice tone="warn" title="There is no backup of the server">
        <p>
          If its disk fails, only what stations hold comes back. On the server, <code>traymark backup FILE</code> makes
          one; with TRAYMARK_BACKUP_DIR set it makes one every day.
        </p>
      </Notice>
    );
  }
  const age = nowMs() - at_ms;
  const isLate = age > 2 * (every_h ?? TOO_LONG_H / 2) * HOUR_MS;
  if (!isLate) return <p class="soft">Last good backup of the server: {spanWords(age)} ago.</p>;
  return (
    <Notice tone="warn" title={`The last good backup is ${spanWords(age)} old`}>
      <p>
        {every_h === null
          ? "Somebody has to make one"
          : "One should have been made since. The server's own output says why not"}
        : <code>traymark backup FILE</code>.
      </p>
    </Notice>
  );
}

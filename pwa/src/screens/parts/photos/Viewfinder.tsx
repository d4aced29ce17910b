/** The camera over the whole screen: aim, take, look, keep or take again. Nothing is kept before "Keep". */
import { useEffect, useRef, useState } from "preact/hooks";
import { type Lens, openLens } from "../../../device/lens.ts";
import "../../../style/photos.css";
import { useAct } from "../../../ui/act.ts";
import { Button } from "../../../ui/Dock.tsx";
import { Refusal } from "../../../ui/Notice.tsx";

type Props = {
  /** What is photographed, as on the button that led here. */
  readonly what: string;
  readonly onPicture: (picture: Blob) => void;
  readonly onClose: () => void;
};

type Taken = { readonly picture: Blob; readonly url: string };

export function Viewfinder({ what, onPicture, onClose }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  const video = useRef<HTMLVideoElement>(null);
  const [lens, setLens] = useState<Lens | null>(null);
  const [lit, setLit] = useState(false);
  const [taken, setTaken] = useState<Taken | null>(null);
  const { problem, run } = useAct();

  useEffect(() => {
    dialog.current?.showModal();
    let opened: Lens | null = null;
    let left = false;
    void run(
      () => openLens(video.current as HTMLVideoElement),
      (there) => {
        if (left) return there.close();
        opened = there;
        setLens(there);
      },
    );
    return () => {
      left = true;
      opened?.close();
    };
  }, []);
  useEffect(() => () => URL.revokeObjectURL(taken?.url ?? ""), [taken]);

  const shoot = async (): Promise<void> => {
    const picture = (await lens?.shoot()) ?? null;
    if (picture !== null) setTaken({ picture, url: URL.createObjectURL(picture) });
  };
  const light = async (): Promise<void> => {
    if (await lens?.lamp(!lit)) setLit(!lit);
  };
  return (
    <dialog ref={dialog} class="photo-finder" aria-label={what} onClose={onClose}>
      <p class="photo-finder-say">{taken === null ? what : "Is it sharp, and is all of it there?"}</p>
      <div class="photo-finder-view">
        <video ref={video} playsInline muted aria-label="Camera" hidden={problem !== null || taken !== null} />
        {taken !== null && <img src={taken.url} alt="What was just taken" />}
        {problem !== null && <Refusal problem={problem} />}
      </div>
      <div class="photo-finder-dock">
        {taken === null ? (
          <>
            <Button onPress={onClose}>Close</Button>
            <button
              type="button"
              class="photo-shutter"
              aria-label="Take the photo"
              disabled={lens === null}
              onClick={() => shoot()}
            />
            {lens?.hasLamp === true ? (
              <button type="button" class="button" aria-pressed={lit} onClick={() => light()}>
                {lit ? "Light off" : "Light on"}
              </button>
            ) : (
              <span />
            )}
          </>
        ) : (
          <>
            <Button onPress={() => setTaken(null)}>Again</Button>
            <Button
              tone="main"
              onPress={() => {
                onPicture(taken.picture);
                onClose();
              }}
            >
              Keep
            </Button>
          </>
        )}
      </div>
    </dialog>
  );
}

/** A photo by the camera in the app; beside it, one from the phone's camera app or a file, which is all there is without a camera. */
import type { ComponentChildren } from "preact";
import { useId, useState } from "preact/hooks";
import { canAim } from "../../../device/lens.ts";
import "../../../style/photos.css";
import { Shape } from "../../../ui/Shape.tsx";
import { Viewfinder } from "./Viewfinder.tsx";

type Props = { readonly label: string; readonly onPicture: (picture: Blob) => void };

export function PhotoButton({ label, onPicture }: Props) {
  const [aiming, setAiming] = useState(false);
  if (!canAim()) {
    return (
      <div class="photo-take">
        <FromFile name={label} onPicture={onPicture}>
          <Shape name="camera" />
          {label}
        </FromFile>
      </div>
    );
  }
  return (
    <div class="photo-take">
      <button type="button" class="button" onClick={() => setAiming(true)}>
        <Shape name="camera" />
        {label}
      </button>
      <FromFile name={`${label}: from a file or the camera app`} onPicture={onPicture}>
        From a file
      </FromFile>
      {aiming && <Viewfinder what={label} onPicture={onPicture} onClose={() => setAiming(false)} />}
    </div>
  );
}

type FileProps = {
  readonly name: string;
  readonly onPicture: (picture: Blob) => void;
  readonly children: ComponentChildren;
};

function FromFile({ name, onPicture, children }: FileProps) {
  const id = useId();
  return (
    <div class="file-button">
      <input
        id={id}
        type="file"
        accept="image/*"
        aria-label={name}
        onChange={(event) => {
          const input = event.currentTarget;
          for (const file of input.files ?? []) onPicture(file);
          input.value = "";
        }}
      />
      <label class="button" for={id}>
        {children}
      </label>
    </div>
  );
}

/** One press to the phone's camera; where there is none, a file. */
import { useId } from "preact/hooks";
import { Shape } from "../../ui/Shape.tsx";

type Props = { readonly label: string; readonly onPicture: (picture: Blob) => void };

export function PhotoButton({ label, onPicture }: Props) {
  const id = useId();
  return (
    <div class="photo-button">
      <input
        id={id}
        type="file"
        accept="image/*"
        capture="environment"
        onChange={(event) => {
          const input = event.currentTarget;
          for (const file of input.files ?? []) onPicture(file);
          input.value = "";
        }}
      />
      <label class="button" for={id}>
        <Shape name="camera" />
        {label}
      </label>
    </div>
  );
}

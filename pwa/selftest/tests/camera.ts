/** The picture of a camera as it comes; nothing is taken or sent. */
import { button, el } from "../page.ts";
import type { Room, Test } from "../results.ts";
import { barredLive, closeLive, openLive } from "./live.ts";

export const frontCamera: Test = {
  name: "front_camera",
  title: "Front camera",
  say: "The picture of the front camera: sharp, no spots. Nothing is recorded.",
  barred: barredLive,
  run: (room) => preview(room, "front_camera", "user"),
};

export const rearCamera: Test = {
  name: "rear_camera",
  title: "Rear camera",
  say: "The picture of the rear camera: near and far sharp, no spots. Nothing is recorded.",
  barred: barredLive,
  run: (room) => preview(room, "rear_camera", "environment"),
};

function preview(room: Room, name: "front_camera" | "rear_camera", facingMode: string): void {
  room.offer(
    button("Show the picture", "main", () => {
      let left = false;
      room.leaving(() => {
        left = true;
      });
      room.offer();
      openLive(
        { video: { facingMode } },
        (stream) => {
          if (left) {
            closeLive(stream);
            return;
          }
          show(room, name, stream);
        },
        (why) => {
          if (!left) room.bar(why);
        },
      );
    }),
  );
}

function show(room: Room, name: "front_camera" | "rear_camera", stream: MediaStream): void {
  const video = document.createElement("video");
  video.muted = true;
  video.setAttribute("playsinline", "");
  video.setAttribute("autoplay", "");
  video.setAttribute("aria-label", "Picture of the camera");
  room.leaving(() => {
    closeLive(stream);
    video.srcObject = null;
  });
  const frame = el("div", "preview");
  frame.appendChild(video);
  room.area.appendChild(frame);
  video.srcObject = stream;
  void video.play();
  room.ask("Sharp", "Fails", (answer) => {
    room.keep(name, { answer, width: video.videoWidth, height: video.videoHeight });
  });
}

import { render } from "preact";
import { startServiceWorker } from "./sw/update";
import "./style/base.css";

function App() {
  return (
    <main>
      <h1>Traymark</h1>
    </main>
  );
}

const place = document.getElementById("app");
if (place === null) throw new Error("index.html has no #app");
render(<App />, place);
void startServiceWorker();

// What the page's own modules hand to each other. Lengths are nanometres from
// the drawing's origin where nothing else is said.

/** An action as a person takes it: the revision it is made on comes later. */
type Asked = Omit<Action, "rev">;

/** What h takes as an element's content. */
type Child = Node | string | number | boolean | null | undefined | Child[];

interface Point { x: number; y: number }

/** Where the view looks: scale is CSS pixels (or a bitmap's) per nanometre. */
interface Camera extends Point { scale: number }

/** A place and how much around it fills the shorter side. */
interface Look extends Point { across: number }

type Lead = "red" | "black";

/** A place to touch (large) or one that was; side: where a tip reaches it. */
interface Mark extends Point {
  lead: Lead; sign?: string; text?: string; note?: string; large?: boolean; clip?: boolean; side?: string;
}

/** A pin of a part at hand, with its number; first: pin 1. */
interface PinMark extends Point { text: string; first?: boolean }

interface Ring extends Point { radius: number; text: string }

/** What is drawn on the board: nets by number, one list a group. */
interface BoardState {
  behind: boolean;
  turns: number;
  nets: number[][];
  density: Float64Array | null;
  marks: Mark[];
  ring: Ring | null;
  named: string[];
  pins: PinMark[];
}

type OverlayState = Pick<BoardState, "marks" | "ring"> & Partial<BoardState>;

interface Tap extends Point { layer: number; net: number; pad: DrawingPad | null }

/** What overlay needs of the drawing surface. */
interface Surface {
  camera: Camera;
  width: number;
  height: number;
  geometry: import("../page/board/geometry.js").Geometry | null;
  screen(x: number, y: number): [number, number];
}

interface Inks {
  paper: string; laminate: string; edge: string; copper: string; net: string[]; netBehind: string[];
  hole: string; bare: string; part: string; ref: string; heat: string;
}

/** One picture that the painter is asked for, in bitmap pixels. */
interface PaintJob extends Camera {
  channel: string;
  id: number;
  width: number;
  height: number;
  behind: boolean;
  turns: number;
  dpr: number;
  big: number;
  nets: number[][];
  density: Float64Array | null;
  inks: Inks;
}

interface Gestures {
  start(): void;
  end(): void;
  drag(dx: number, dy: number): void;
  zoom(factor: number, x: number, y: number): void;
  tap(x: number, y: number): void;
}

interface FileOfBoard { path: string; file: File }

interface Bundle { name: string; files: FileOfBoard[] }

type Foot = { main?: string; undo?: string; doubt?: string };

/** What the settings show. */
interface Settings {
  voice: boolean;
  can: boolean;
  sound: boolean;
  foot: Foot;
  board: BoardSummary | null;
  meter: string;
  id: string;
  learning: keyof Foot | "";
}

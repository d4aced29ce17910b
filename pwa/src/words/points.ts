/** Names of test points. */
import { testPoints } from "../tables/testPoints.ts";

export const pointName = (point: string): string => testPoints[point]?.name ?? point;
export const pointNames = (points: readonly string[]): string => points.map(pointName).join(", ");

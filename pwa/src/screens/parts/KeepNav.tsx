/** For screens that are places and not steps: the way to the other places stays below the dock on a phone. */
export const KeepNav = () => <span class="ship-keep-nav" hidden />;

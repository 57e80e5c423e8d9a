// SPDX-License-Identifier: GPL-3.0-or-later
// What the program calls of the page (src/cli/browser.h). Now and then it lets go of the worker's
// thread, so that a message to stop can come in.
mergeInto(LibraryManager.library, {
  browser_progress: function (done) {
    Module.progress(done);
  },
  browser_stopped__deps: ['$Asyncify'],
  browser_stopped: function () {
    if (Asyncify.state === Asyncify.State.Normal) {
      if (Module.isStopped()) return 1;
      if (!Module.mayWait()) return 0;
    }
    return Asyncify.handleSleep((goOn) => Module.letIn(() => goOn(Module.isStopped() ? 1 : 0)));
  },
});

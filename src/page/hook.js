// SPDX-License-Identifier: GPL-3.0-or-later
// What the program calls of the page (src/cli/browser.h).
mergeInto(LibraryManager.library, {
  browser_progress: function (done) {
    Module.progress(done);
  },
  browser_stopped: function () {
    return 0;
  },
});

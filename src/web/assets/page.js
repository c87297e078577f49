// On every page. Without it everything works all the same.
"use strict";

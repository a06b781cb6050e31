// SPDX-License-Identifier: MIT
// Sound: nothing may be found here. Never compiled.
#pragma once

kbgenFind("fhazard",{"needle-strike":["The needle comes down when the wheel is turned.","! "]})

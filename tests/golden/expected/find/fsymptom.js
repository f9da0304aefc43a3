kbgenFind("fsymptom",{"skips-stitches":["It skips stitches","#"],"winder":["The winder does not wind","!"]})

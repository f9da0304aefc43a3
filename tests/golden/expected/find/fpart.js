kbgenFind("fpart",{"winder-tyre":["Winder tyre","!"]})

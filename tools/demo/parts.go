package main

// partSpec is one line of the design: where a part stands and what its pins,
// in the footprint's order, are joined to ("-": nothing).
type partSpec struct {
	ref, footprint, value string
	x, y                  float64 // millimetres
	rot                   int     // degrees, counter-clockwise, a multiple of 90
	nets                  string
}

// powerParts bring battery and USB supply to +3V3.
var powerParts = []partSpec{
	{"J1", "BATT2", "battery, 2 pins", 11.0, 40.0, 0, "VBAT_IN GND"},
	{"F1", "1206", "0.5 A fuse", 17.6, 40.6, 0, "VBAT_IN VBAT"},
	{"D2", "SOD123", "1 A Schottky", 17.6, 37.4, 180, "VSYS VBAT"},
	{"J2", "USBMICRO", "USB micro B", 27.0, 41.6, 180, "VUSB USB_CDM USB_CDP - GND GND GND GND GND"},
	{"D1", "SOD123", "1 A Schottky", 22.6, 35.6, 0, "VSYS VUSB"},
	{"C1", "0805", "10 uF", 33.2, 40.4, 90, "GND VSYS"},
	{"U2", "SOT23-6", "step-down regulator", 36.9, 39.4, 0, "BST GND FB EN VSYS SW"},
	{"R3", "0402", "100 kohm", 36.9, 36.4, 180, "VSYS EN"},
	{"C2", "0402", "100 nF", 36.9, 42.4, 180, "SW BST"},
	{"L1", "IND4", "4.7 uH", 42.0, 40.6, 0, "SW +3V3"},
	{"C3", "0805", "22 uF", 46.4, 41.2, 90, "GND +3V3"},
	{"C4", "0805", "22 uF", 43.0, 37.3, 180, "GND +3V3"},
	{"R1", "0402", "453 kohm", 33.9, 36.4, 180, "FB +3V3"},
	{"R2", "0402", "100 kohm", 33.9, 35.2, 180, "FB GND"},
	{"FB1", "0603", "600 ohm at 100 MHz", 24.0, 32.2, 180, "+3V3 +3V3A"},
	{"R4", "0805", "0 ohm", 38.8, 30.6, 270, "+3V3 +3V3_RF"},
	{"R16", "0402", "1 Mohm", 21.2, 40.6, 90, "VBAT_SENSE VBAT"},
	{"R17", "0402", "1 Mohm", 21.2, 29.9, 0, "VBAT_SENSE GND"},
	{"C15", "0402", "10 nF", 21.2, 28.8, 0, "VBAT_SENSE GND"},
}

// logicParts are the microcontroller and what hangs on it.
var logicParts = []partSpec{
	{"U1", "QFP48", "microcontroller, 48 pins", 31.05, 22.05, 0,
		"XI XO VBAT_SENSE ADC_CS ADC_DRDY +3V3 GND ADC_MISO ADC_MOSI ADC_SCK +3V3A VREF " +
			"WAKE LED1 LED2 - - +3V3 GND SD_CD SD_CS SD_CMD SD_CLK SD_DAT0 " +
			"RF_CS RF_SCK RF_MOSI RF_MISO RF_RST +3V3 GND RF_BUSY RF_DIO1 - HXI HXO " +
			"USB_DM USB_DP SWDIO SWCLK NRST +3V3 GND - BOOT DBG_TX DBG_RX -"},
	{"C5", "0402", "100 nF", 24.4, 22.3, 270, "+3V3 GND"},
	{"C6", "0402", "100 nF", 31.3, 15.2, 0, "+3V3 GND"},
	{"C7", "0402", "100 nF", 37.5, 22.3, 90, "+3V3 GND"},
	{"C8", "0402", "100 nF", 31.0, 29.0, 180, "+3V3 GND"},
	{"C9", "0805", "10 uF", 28.0, 32.2, 0, "+3V3 GND"},
	{"C16", "0402", "1 uF", 24.4, 19.4, 270, "+3V3A GND"},
	{"Y1", "XTAL2", "32.768 kHz", 22.9, 25.6, 90, "XO XI"},
	{"C17", "0402", "12 pF", 21.35, 24.4, 270, "XO GND"},
	{"C18", "0402", "12 pF", 21.35, 26.8, 90, "XI GND"},
	{"Y2", "XTAL4", "16 MHz", 38.2, 26.2, 90, "HXI GND HXO GND"},
	{"C19", "0402", "10 pF", 38.9, 23.5, 180, "HXI GND"},
	{"C22", "0402", "10 pF", 35.9, 28.2, 90, "HXO GND"},
	{"R18", "0402", "22 ohm", 34.0, 31.2, 90, "USB_DM USB_CDM"},
	{"R19", "0402", "22 ohm", 32.9, 31.2, 90, "USB_DP USB_CDP"},
	{"R5", "0402", "10 kohm", 29.0, 34.6, 0, "NRST +3V3"},
	{"C23", "0402", "100 nF", 26.4, 34.6, 180, "NRST GND"},
	{"R6", "0402", "10 kohm", 27.6, 29.6, 90, "BOOT GND"},
	{"SW1", "BUTTON", "wake key", 12.0, 4.6, 0, "WAKE GND"},
	{"R7", "0402", "100 kohm", 18.4, 6.6, 90, "WAKE +3V3"},
	{"C24", "0402", "100 nF", 17.2, 6.6, 90, "WAKE GND"},
	{"R8", "0402", "1 kohm", 24.0, 7.6, 90, "LED1_A LED1"},
	{"D3", "0603", "green LED", 24.0, 4.6, 90, "GND LED1_A"},
	{"R9", "0402", "1 kohm", 27.0, 7.6, 90, "LED2_A LED2"},
	{"D4", "0603", "red LED", 27.0, 4.6, 90, "GND LED2_A"},
}

// cardParts are the card socket and its supply.
var cardParts = []partSpec{
	{"J3", "CARD", "memory card socket", 43.4, 7.7, 0,
		"- SD_CS SD_CMD +3V3 SD_CLK GND SD_DAT0 - SD_CD GND GND GND GND GND"},
	{"C25", "0805", "10 uF", 44.6, 17.0, 0, "+3V3 GND"},
	{"C26", "0603", "100 nF", 40.6, 16.9, 180, "+3V3 GND"},
	{"R21", "0402", "47 kohm", 36.6, 16.9, 90, "SD_CD +3V3"},
	{"R22", "0402", "47 kohm", 37.8, 16.9, 90, "SD_CS +3V3"},
}

// radioParts are the radio module and its aerial.
var radioParts = []partSpec{
	{"U3", "RADIO16", "radio module", 49.2, 26.8, 0,
		"GND RF_DIO1 RF_BUSY +3V3_RF RF_RST RF_MISO RF_MOSI RF_SCK RF_CS GND - - - - GND ANT"},
	{"C20", "0805", "10 uF", 39.4, 34.0, 0, "+3V3_RF GND"},
	{"C21", "0603", "100 nF", 42.4, 35.7, 0, "+3V3_RF GND"},
	{"J5", "COAX", "aerial, coaxial", 51.6, 40.2, 0, "AERIAL GND GND"},
	{"L2", "0402", "8.2 nH", 54.2, 36.6, 180, "ANT AERIAL"},
	{"C27", "0402", "3.3 pF", 56.6, 36.0, 270, "ANT GND"},
	{"C28", "0402", "3.3 pF", 49.4, 37.4, 180, "AERIAL GND"},
}

// sensorParts are the pressure sensor's front end.
var sensorParts = []partSpec{
	{"J4", "SCREW4", "level sensor cable", 5.2, 22.0, 270, "VEXC SENSE_P SENSE_N GND"},
	{"R10", "0603", "10 ohm", 11.0, 28.6, 180, "+3V3A VEXC"},
	{"C10", "0603", "1 uF", 11.0, 26.6, 0, "VEXC GND"},
	{"R11", "0603", "1 kohm", 11.0, 23.4, 0, "SENSE_P AMP_P"},
	{"R12", "0603", "1 kohm", 11.0, 20.6, 0, "SENSE_N AMP_N"},
	{"C11", "0402", "10 nF", 11.0, 25.0, 180, "AMP_P GND"},
	{"C12", "0402", "10 nF", 11.0, 19.0, 180, "AMP_N GND"},
	{"C13", "0603", "100 nF", 13.1, 22.0, 270, "AMP_P AMP_N"},
	{"U4", "SO8", "instrumentation amplifier", 17.3, 22.0, 0,
		"RG_A AMP_N AMP_P GND AMP_REF AMP_OUT +3V3A RG_B"},
	{"R13", "0603", "1 kohm 0.1 %", 17.3, 25.9, 0, "RG_A RG_B"},
	{"C14", "0603", "100 nF", 16.8, 28.2, 180, "+3V3A GND"},
	{"U5", "SOT23", "2.5 V reference", 14.6, 32.2, 180, "VREF +3V3A GND"},
	{"C29", "0603", "1 uF", 19.0, 33.2, 180, "+3V3A GND"},
	{"C30", "0603", "10 uF", 10.6, 33.0, 0, "VREF GND"},
	{"R14", "0402", "10 kohm", 12.0, 15.4, 90, "AMP_REF VREF"},
	{"R20", "0402", "10 kohm", 10.9, 15.4, 270, "AMP_REF GND"},
	{"C31", "0402", "1 uF", 9.8, 15.4, 90, "AMP_REF GND"},
	{"R15", "0402", "1 kohm", 15.6, 17.3, 180, "AMP_OUT ADC_IN"},
	{"C32", "0402", "10 nF", 13.6, 15.4, 270, "ADC_IN GND"},
	{"U6", "TSSOP16", "analogue converter, 24 bit", 18.6, 13.2, 0,
		"+3V3A GND VREF GND ADC_IN AMP_REF VEXC_M GND GND ADC_SCK ADC_MOSI ADC_MISO ADC_DRDY ADC_CS +3V3 GND"},
	{"C33", "0402", "100 nF", 13.2, 13.0, 180, "+3V3A GND"},
	{"C34", "0402", "100 nF", 20.8, 17.2, 180, "+3V3 GND"},
	{"R23", "0402", "100 kohm", 9.4, 12.6, 0, "VEXC VEXC_M"},
	{"R24", "0402", "100 kohm", 12.0, 10.4, 180, "VEXC_M GND"},
}

// looseParts are test points and fiducials.
var looseParts = []partSpec{
	{"TP1", "TP", "+3V3", 29.4, 36.8, 0, "+3V3"},
	{"TP2", "TP", "GND", 32.2, 4.2, 0, "GND"},
	{"TP3", "TP", "+3V3A", 7.4, 35.4, 0, "+3V3A"},
	{"TP4", "TP", "SWDIO", 30.0, 11.0, 0, "SWDIO"},
	{"TP5", "TP", "SWCLK", 27.6, 11.0, 0, "SWCLK"},
	{"TP6", "TP", "NRST", 25.2, 11.0, 0, "NRST"},
	{"TP7", "TP", "DBG_TX", 26.0, 36.8, 0, "DBG_TX"},
	{"TP8", "TP", "DBG_RX", 21.4, 32.2, 0, "DBG_RX"},
	{"TP9", "TP", "VSYS", 31.7, 37.4, 0, "VSYS"},
	{"TP10", "TP", "VREF", 6.8, 11.0, 0, "VREF"},
	{"FID1", "FID", "fiducial", 7.6, 2.2, 0, "-"},
	{"FID2", "FID", "fiducial", 57.8, 36.8, 0, "-"},
	{"FID3", "FID", "fiducial", 2.2, 36.8, 0, "-"},
}

// mountingHoles are the unplated holes: place (mm) and diameter (µm).
var mountingHoles = []struct {
	x, y     float64
	diameter int
}{{3.5, 3.5, 3200}, {56.5, 3.5, 3200}, {3.5, 41.5, 3200}, {56.5, 41.5, 3200}}

package fit

// What follows is named as in the FIT specification: messages and fields by
// their profile numbers, values as the file holds them. A value the file does
// not have, or marks invalid, is all ones (for signed ones the largest
// positive). Numbers were compared with the profile of
// github.com/muktihari/fit v0.28.3 (21.212).

// epoch is 1989-12-31T00:00:00Z, from which FIT counts seconds, in Unix time.
const epoch = 631065600

// minDate is the least timestamp that counts from the epoch. Smaller ones count
// seconds since the device was switched on (profile, type date_time).
const minDate = 0x10000000

// Invalid values of the base types.
const (
	invalid8   = 0xFF
	invalid16  = 0xFFFF
	invalidS16 = 0x7FFF
	invalid24  = 0xFFFFFF
	invalid32  = 0xFFFFFFFF
	invalidS32 = 0x7FFFFFFF
)

// messageNumber says what a message is about.
type messageNumber uint16

// The messages that are read; all others are skipped by their size.
const (
	fileIDMessage    messageNumber = 0
	sportMessage     messageNumber = 12
	sessionMessage   messageNumber = 18
	lapMessage       messageNumber = 19
	recordMessage    messageNumber = 20
	eventMessage     messageNumber = 21
	deviceMessage    messageNumber = 23
	activityMessage  messageNumber = 34
	heartRateMessage messageNumber = 132
)

// fieldNumber names a field within its message.
type fieldNumber uint8

const timestampField fieldNumber = 253 // of every message

const (
	fileIDType        fieldNumber = 0
	fileIDProductName fieldNumber = 8

	sportSport    fieldNumber = 0
	sportSubSport fieldNumber = 1

	sessionStartTime    fieldNumber = 2
	sessionSport        fieldNumber = 5
	sessionSubSport     fieldNumber = 6
	sessionElapsedTime  fieldNumber = 7
	sessionTimerTime    fieldNumber = 8
	sessionDistance     fieldNumber = 9
	sessionCycles       fieldNumber = 10
	sessionAscent       fieldNumber = 22
	sessionDescent      fieldNumber = 23
	sessionWorkoutRPE   fieldNumber = 193
	lapStartTime        fieldNumber = 2
	lapElapsedTime      fieldNumber = 7
	lapTimerTime        fieldNumber = 8
	lapDistance         fieldNumber = 9
	eventEvent          fieldNumber = 0
	eventEventType      fieldNumber = 1
	activityLocalTime   fieldNumber = 5
	deviceType          fieldNumber = 1
	deviceSource        fieldNumber = 25
	recordLat           fieldNumber = 0
	recordLong          fieldNumber = 1
	recordAltitude      fieldNumber = 2
	recordHeartRate     fieldNumber = 3
	recordCadence       fieldNumber = 4
	recordDistance      fieldNumber = 5
	recordSpeed         fieldNumber = 6
	recordCompressed    fieldNumber = 8 // compressed_speed_distance
	recordGrade         fieldNumber = 9
	recordFractional    fieldNumber = 53
	recordEnhancedSpeed fieldNumber = 73
	recordEnhancedAlt   fieldNumber = 78
)

// Base types: how the bytes of a field are to be read. Only the low five bits
// tell them apart; the highest says that byte order matters, and some writers
// forget it.
const (
	baseTypeMask = 0x1F

	typeEnum    = 0x00
	typeSint8   = 0x01
	typeUint8   = 0x02
	typeSint16  = 0x03
	typeUint16  = 0x04
	typeSint32  = 0x05
	typeUint32  = 0x06
	typeString  = 0x07
	typeUint8z  = 0x0A
	typeUint16z = 0x0B
	typeUint32z = 0x0C
	typeByte    = 0x0D
)

// Kinds of files, sports, events that are told apart here.
const (
	fileActivity = 4

	sportGeneric          = 0
	sportRunning          = 1
	sportCycling          = 2
	sportFitnessEquipment = 4
	sportSwimming         = 5
	sportWalking          = 11
	sportHiking           = 17

	subSportTreadmill = 1
	subSportStreet    = 2
	subSportTrail     = 3
	subSportTrack     = 4

	sourceLocal    = 5
	localBarometer = 4 // among the types of local devices

	eventTimer = 0

	eventStart          = 0
	eventStop           = 1
	eventStopAll        = 4
	eventStopDisable    = 8
	eventStopDisableAll = 9
)

// fileID says what kind of file this is and who wrote it.
type fileID struct {
	given       bool
	kind        uint8 // field type
	productName string
}

// sport is written by some devices when a recording begins.
type sport struct{ sport, subSport uint8 }

// session holds the sums of one sport of a recording.
type session struct {
	timestamp   uint32 // when it was written: the end, but see endOf
	startTime   uint32
	elapsedTime uint32 // ms
	timerTime   uint32 // ms
	distance    uint32 // cm
	cycles      uint32 // strides of one foot when running or walking
	ascent      uint16 // m
	descent     uint16 // m
	sport       uint8
	subSport    uint8
	workoutRPE  uint8 // Borg CR10 times 10
}

// lap holds the sums of one lap.
type lap struct {
	timestamp   uint32
	startTime   uint32
	elapsedTime uint32 // ms
	timerTime   uint32 // ms
	distance    uint32 // cm
}

// event is something that happened, such as the timer being stopped.
type event struct {
	timestamp uint32
	event     uint8
	eventType uint8
}

// activity closes a recording.
type activity struct{ timestamp, localTimestamp uint32 }

// A record, one moment of a recording, is never a struct of its own: what
// matters of it goes from the bytes to a sample, see layout and track. It has
//
//	timestamp, lat and long in semicircles (2^31 of them make 180 degrees),
//	distance in cm, heart_rate in 1/min,
//	cadence of one leg in 1/min and its fraction in 128ths,
//	enhanced_speed or speed in mm/s, grade in hundredths of a percent,
//	enhanced_altitude or altitude in fifths of a metre from 500 m below zero,
//	compressed_speed_distance: 12 bits of speed in cm/s, then 12 of distance in
//	sixteenths of a metre, which begin again at zero.

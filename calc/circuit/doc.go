// Package circuit makes wires of what is planned: it knows the kinds of device and what each needs, proposes wires from
// leads, devices and circuits, says what is not planned yet, and makes the lists that the plan is worked from.
//
// A circuit is what is joined together: the terminals that name it. One with two ends is a wire; one with more is a joint
// with a wire to each end, unless one of its ends can take several wires, such as a terminal strip. Proposals are made
// from the state alone and in its order, and the ids of what they make come from what they are made of: proposing again
// gives nothing new, and two people who accept one proposal make one record. Nothing that a person changed is proposed
// to be changed.
//
// What a device typically draws is common practice: a default to start from, never a limit to judge by.
package circuit
